package syncengine

import (
	"rootledger/shared/event"
	"rootledger/shared/session"
)

// qualityVerbs are samples, looks, and how cut attempts are watched.
var qualityVerbs = []verb{
	line(`inspects `+number+` grafts of pass `+name+`(?: at `+name+`)?: `+number+` whole, `+number+` cut`, func(s *stage, a []string) event.Fact {
		return &event.Inspected{Grafts: s.number(a[1]), Pass: s.ref(a[2]), Region: s.ref(a[3]), Whole: s.number(a[4]), Cut: s.number(a[5])}
	}),
	line(`looks at `+number+` grafts of pass `+name+`: `+number+` damaged`, func(s *stage, a []string) event.Fact {
		return &event.Looked{Grafts: s.number(a[1]), Pass: s.ref(a[2]), Damaged: s.number(a[3])}
	}),
	line(`undoes the last look`, func(s *stage, _ []string) event.Fact {
		r := s.phones[s.who]
		return &event.Void{Target: r.State().LastEntries(r.Me().Replica, 1)[0].Ref}
	}),
	line(`watches for ([\d.]+) % where ([\d.]+) % is usual, limit ([\d.]+)`, func(s *stage, a []string) event.Fact {
		return &event.Watch{P1Parts: 10 * s.tenths(a[1]), P0Parts: 10 * s.tenths(a[2]), H100: 10 * s.tenths(a[3])}
	}),
}

// first is the first watched pass, empty while there is none.
func first(v session.View) session.Watched {
	return append(v.Quality.Watched, session.Watched{})[0]
}

func init() {
	for name, read := range map[string]func(session.View) int64{
		"totally cut":   func(v session.View) int64 { return v.Quality.Rows[0].Rates.Total.N },
		"partly cut":    func(v session.View) int64 { return v.Quality.Rows[0].Rates.Partial.N },
		"cut follicles": func(v session.View) int64 { return v.Quality.Rows[0].Rates.Follicles.N },
		"follicles":     func(v session.View) int64 { return v.Quality.Rows[0].Rates.Follicles.Of },
		"watched":       func(v session.View) int64 { return int64(len(v.Quality.Watched)) },
		"cut since":     func(v session.View) int64 { return first(v).Cut },
		"tried since":   func(v session.View) int64 { return first(v).Trials },
		"asks for a look": func(v session.View) (n int64) {
			for _, a := range v.Asks {
				if a.What == session.AskLook {
					n++
				}
			}
			return n
		},
	} {
		figures[name] = read
	}
}
