package main

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"rootledger/shared/event"
)

// facts writes the union of all facts, and the table by which one is encoded.
func (s *script) facts() error {
	var union, table strings.Builder
	for _, kind := range event.Kinds() {
		if kind.ByServer() {
			continue
		}
		fact := event.New(kind)
		fields, err := factFields(fact)
		if err != nil {
			return fmt.Errorf("gen: %v: %w", kind, err)
		}
		fmt.Fprintf(&union, "  | { kind: %q", kind.String())
		fmt.Fprintf(&table, "  %q: [%d, [", kind.String(), kind)
		for i, f := range fields {
			if f.index == 0 {
				if err := s.structs(f.of); err != nil {
					return err
				}
				fmt.Fprintf(&union, "; %s?: %s", f.name, s.typeOf(f.of))
			}
			if i > 0 {
				fmt.Fprint(&table, ", ")
			}
			fmt.Fprintf(&table, "[%q, %d, %q, %d]", f.name, f.key, f.form, f.index)
		}
		fmt.Fprint(&union, " }\n")
		fmt.Fprint(&table, "]],\n")
	}
	fmt.Fprintf(&s.out, "/** What a screen can say happened. What is left out is zero. */\nexport type Fact =\n%s;\n\n", strings.TrimSuffix(union.String(), "\n"))
	fmt.Fprint(&s.out, "/** How a field is written; an enumeration by the name of its table. */\nexport type Form = \"number\" | \"text\" | \"flag\" | \"ref\" | \"refs\" | \"id\" | \"numbers\" | \"element\" | keyof typeof enums | `enums:${keyof typeof enums}`;\n\n")
	fmt.Fprint(&s.out, "/** The numbers of names. */\nexport const enums = {\n")
	for _, t := range s.enums() {
		fmt.Fprintf(&s.out, "  %s: {", t.Name())
		names := enumNames(t)
		for i := range 256 {
			if name := names[i]; name != "" {
				fmt.Fprintf(&s.out, " %q: %d,", name, i)
			}
		}
		fmt.Fprint(&s.out, " },\n")
	}
	fmt.Fprint(&s.out, "} as const;\n\n")
	fmt.Fprintf(&s.out, "/** By kind: its number, and its fields as name, key, form and place in a list. */\nexport const facts: { [K in Fact[\"kind\"]]: readonly [number, readonly (readonly [string, number, Form, number])[]] } = {\n%s};\n", table.String())
	return nil
}

// enums lists the enumerations that were written, by name.
func (s *script) enums() []reflect.Type {
	var out []reflect.Type
	for t := range s.names {
		if isEnum(t) {
			out = append(out, t)
		}
	}
	slices.SortFunc(out, func(a, b reflect.Type) int { return strings.Compare(a.Name(), b.Name()) })
	return out
}

// factField is one entry of a fact's map.
type factField struct {
	name  string
	key   uint64
	form  string
	of    reflect.Type // the field's own type, of a list the list's
	index int          // of "element": which of the list
}

// factFields matches the pointers of a fact's walk to its struct's fields.
// Those of an inner struct, a practice clock, are called by both names.
func factFields(fact event.Fact) ([]factField, error) {
	v := reflect.ValueOf(fact).Elem()
	var out []factField
	for _, key := range event.Keys(fact) {
		pointer := reflect.ValueOf(key.Field).Pointer()
		for i := range v.NumField() {
			at, f := v.Field(i).Addr().Pointer(), v.Type().Field(i)
			size := f.Type.Size()
			if pointer < at || pointer >= at+size {
				continue
			}
			one := factField{name: jsonName(f), key: key.Number, of: f.Type}
			if f.Type.Kind() == reflect.Struct && !isText(f.Type) {
				one = innerField(v.Field(i), one, pointer)
			}
			if f.Type.Kind() == reflect.Array && !isText(f.Type) {
				one.form, one.index = "element", int((pointer-at)/f.Type.Elem().Size())
			} else if one.form = form(one.of); one.form == "" {
				return nil, fmt.Errorf("%s of type %v can not be written", f.Name, f.Type)
			}
			out = append(out, one)
		}
	}
	return out, nil
}

// innerField is the field of an inner struct that lies at a pointer.
func innerField(v reflect.Value, outer factField, pointer uintptr) factField {
	for i := range v.NumField() {
		if v.Field(i).Addr().Pointer() == pointer {
			f := v.Type().Field(i)
			outer.name, outer.of = outer.name+f.Name, f.Type
		}
	}
	return outer
}

func form(t reflect.Type) string {
	switch {
	case t == reflect.TypeFor[event.Ref]():
		return "ref"
	case t == reflect.TypeFor[[]event.Ref]():
		return "refs"
	case t == reflect.TypeFor[event.ReplicaID]():
		return "id"
	case isEnum(t):
		return t.Name()
	case t.Kind() == reflect.Slice && isEnum(t.Elem()):
		return "enums:" + t.Elem().Name()
	case t.Kind() == reflect.Slice:
		return "numbers"
	case t.Kind() == reflect.String:
		return "text"
	case t.Kind() == reflect.Bool:
		return "flag"
	case t.Kind() == reflect.Uint8, t.Kind() == reflect.Uint16, t.Kind() == reflect.Uint32, t.Kind() == reflect.Uint64, t.Kind() == reflect.Int64:
		return "number"
	}
	return ""
}
