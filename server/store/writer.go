package store

import (
	"context"
	"database/sql"
	"fmt"
	"sync"
	"time"

	"rootledger/shared/event"
)

// writer takes what all rooms hand in through one connection: whoever comes
// first commits all that is queued by then in one transaction, and what comes
// meanwhile is the next. So many rooms wait for few commits, and one room for
// no other.
type writer struct {
	db   *sql.DB
	turn chan struct{} // holds one token while somebody commits

	marked map[int64]time.Time // by session, when its newest mark of arrival was made; of whoever holds the token

	mu    sync.Mutex
	queue []*job
}

// job is what one room hands in.
type job struct {
	session, first int64
	events         []*event.Event
	err            error         // to be read once it is done
	done           chan struct{} // closed when it is stored or failed
}

func newWriter(db *sql.DB) *writer {
	return &writer{db: db, turn: make(chan struct{}, 1), marked: map[int64]time.Time{}}
}

// do is back when a job is done, by its caller or by another one. What is queued
// is not called off any more.
func (w *writer) do(ctx context.Context, j *job) error {
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("store: append: %w", err)
	}
	j.done = make(chan struct{})
	w.mu.Lock()
	w.queue = append(w.queue, j)
	w.mu.Unlock()
	select {
	case <-j.done:
		return j.err
	case w.turn <- struct{}{}:
		defer func() { <-w.turn }()
	}
	select {
	case <-j.done: // the one before took it along; what is queued now has its own callers
		return j.err
	default:
	}
	w.mu.Lock()
	jobs := w.queue // with j among them
	w.queue = nil
	w.mu.Unlock()
	w.commit(context.WithoutCancel(ctx), jobs)
	return j.err
}

// commit does jobs in one transaction. Where the rows of one are refused, each
// is done alone, and only that one fails. A commit that fails fails all of them:
// what is on the disk is not known then.
func (w *writer) commit(ctx context.Context, jobs []*job) {
	refused, err := w.transact(ctx, jobs)
	if refused && len(jobs) > 1 {
		for _, j := range jobs {
			_, j.err = w.transact(ctx, []*job{j})
			close(j.done)
		}
		return
	}
	for _, j := range jobs {
		j.err = err
		close(j.done)
	}
}

// transact stores all jobs or none; refused says that it failed before anything
// was committed, because of the rows.
func (w *writer) transact(ctx context.Context, jobs []*job) (refused bool, err error) {
	tx, err := w.db.BeginTx(ctx, nil)
	if err != nil {
		return false, fmt.Errorf("store: append: %w", storeFault(err))
	}
	defer tx.Rollback()
	now := time.Now()
	for _, j := range jobs {
		err := insertEvents(ctx, tx, j.session, j.first, j.events)
		if err == nil {
			err = w.mark(ctx, tx, j.session, j.first, now)
		}
		if err != nil {
			return true, fmt.Errorf("store: append: %w", storeFault(err))
		}
	}
	if err := tx.Commit(); err != nil {
		return false, fmt.Errorf("store: commit: %w", storeFault(err))
	}
	for _, j := range jobs {
		if now.Sub(w.marked[j.session]) >= markEvery {
			w.marked[j.session] = now
		}
	}
	return false, nil
}
