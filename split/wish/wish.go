// Package wish reads what a maker wishes of a plan, and says what became of it.
// A wish is one line of words, such as "mix kinds". Parse makes a Wish of it, or
// an error that lists the wishes known.
//
// Nothing is searched for here. The search asks with Has whether a wish was
// made, and keeps to it; Kept looks at the plan document that came out, and says
// whether it does.
//
// A form of wish is one file: a type that holds what was wished, and an entry
// in forms.
package wish

import (
	"fmt"
	"slices"
	"strings"

	"eke/piece/spelling"
	"eke/split/plan"
)

// Wish is one wish, understood.
type Wish interface {
	// String is the wish in its plainest words.
	String() string
	// Kept reports whether an option of a document keeps it, and how.
	Kept(d *plan.Document, o *plan.Option) (kept bool, how string)
}

// form is one way to wish.
type form struct {
	written string // as a maker would write it
	means   string
	read    func(words []string) (Wish, bool)
	within  string // what its lengths and looks have to be, if its first word says that it is meant
}

var forms = []form{mixKinds, carry, stripes, blocks, alike, onlyFor, like, unlike, block, matchStripes}

// Usage lists the forms for a flag's help.
func Usage() string {
	var out []string
	for _, f := range forms {
		out = append(out, fmt.Sprintf("%q (%s)", f.written, f.means))
	}
	return strings.Join(out, ", ") + "; with prefer before it a wish gives points to plans that keep it, and is no must"
}

// Help tells a maker of the forms, each in a paragraph of its own.
func Help() []string {
	out := []string{`A wish is a line of words, given by --wish as often as needed, or as a line such as "wish: sleeve alike" in the <desc> of the pattern's root. Front, sleeve, navy and the like stand for your own pieces, edges and looks. A look is what a scrap's look says, else its fabric, else its name, written as the scraps have it.`}
	for _, f := range forms {
		out = append(out, f.written+": "+f.means+".")
	}
	return append(out,
		fmt.Sprintf("Before any of them but %q, prefer makes it points instead of a must: prefer %s. Before carry, stripes and blocks eke then plans both with it and without; one option keeps it where that is found at all, and a note says why where it is not.", mixKinds.written, alike.written),
		"Each is kept and proved, and report and table say how. Where no plan is found that keeps it, the exit status is 3, and eke says why as far as it knows.")
}

// Parse reads a wish. Case and white space do not matter.
func Parse(line string) (Wish, error) {
	words := strings.Fields(strings.ToLower(line))
	if len(words) > 1 && words[0] == "prefer" {
		w, err := Parse(strings.Join(words[1:], " "))
		if err != nil {
			return nil, err
		}
		switch w.(type) {
		case MixKinds, Prefer:
			return nil, fmt.Errorf("%s: %q is a wish to make plainly, not one to prefer", short(line), w)
		}
		return Prefer{w}, nil
	}
	var known []string
	for _, f := range forms {
		if w, ok := f.read(words); ok {
			return w, nil
		}
		known = append(known, fmt.Sprintf("%q", f.written))
	}
	for _, f := range forms {
		if f.within != "" && len(words) > 0 && words[0] == strings.Fields(f.written)[0] {
			return nil, fmt.Errorf("%s is not understood; write it as %q, %s", short(line), f.written, f.within)
		}
	}
	if near := nearest(words); near != "" {
		return nil, fmt.Errorf("%s is not understood; perhaps %q is meant; the wishes known are: %s", short(line), near, strings.Join(known, ", "))
	}
	return nil, fmt.Errorf("%s is not understood; the wishes known are: %s", short(line), strings.Join(known, ", "))
}

// telling are the words by which forms are told apart.
var telling = []string{"alike", "like", "unlike", "only", "for", "upper", "lower", "carry", "stripes", "blocks", "match", "mix", "kinds", "prefer", "at"}

// nearest is the wish that a line is with one of its words spelt as a form has it;
// empty where none is near.
func nearest(words []string) string {
	for i, word := range words {
		near := spelling.Nearest(word, telling)
		if near == "" {
			continue
		}
		if w, err := Parse(strings.Join(slices.Replace(slices.Clone(words), i, i+1, near), " ")); err == nil {
			return w.String()
		}
	}
	return ""
}

// short is a line as a message may show it.
func short(line string) string {
	const most = 40
	r := []rune(strings.Join(strings.Fields(line), " "))
	if len(r) > most {
		r = append(r[:most:most], '…')
	}
	return fmt.Sprintf("%q", string(r))
}

// Has reports whether a wish of that type is among some.
func Has[W Wish](wishes []Wish) bool {
	return slices.ContainsFunc(wishes, func(w Wish) bool { _, ok := w.(W); return ok })
}

// Told is what plan.json says of the wishes for an option. One that was made
// twice is told once.
func Told(wishes []Wish, d *plan.Document, o *plan.Option) []plan.Wish {
	var out []plan.Wish
	for _, w := range wishes {
		if slices.ContainsFunc(out, func(t plan.Wish) bool { return t.Text == w.String() }) {
			continue
		}
		kept, how := w.Kept(d, o)
		out = append(out, plan.Wish{Text: w.String(), Kept: kept, How: how})
	}
	return out
}
