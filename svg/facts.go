package svg

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"eke/piece"
	"eke/piece/scraps"
)

// The facts that a piece, an edge and a scrap may have.
var (
	pieceFacts = words{"cut", "mirrored", "side", "fabric", "kind", "use", "lining", "optional", "ready", "allowance"}
	edgeFacts  = words{"allowance", "joins", "ease"}
	scrapFacts = words{"fabric", "kind", "look", "use", "shrink", "nap", "face", "count", "note", "colour", "color",
		"stripe_mm", "stripe_cm", "stripe_in", "first_mm", "first_cm", "first_in", "stripe_runs"}
)

// facts looks up what is said of a thing, in data- attributes and in
// description lines, on the elements that make it up.
type facts struct {
	d     *drawing
	name  string // the piece or scrap, for messages
	nodes []*node
}

// get is a fact's value and where it stands. The first element that has it
// counts; a data- attribute counts before a line of the description.
func (f facts) get(key string) (value string, at *element, ok bool) {
	for _, n := range f.nodes {
		if v, ok := n.el.lookup("data-" + key); ok {
			return clean(v), n.el, true
		}
		for _, line := range n.description() {
			if line.key == key {
				return line.value, n.el, true
			}
		}
	}
	return "", nil, false
}

type factLine struct{ key, value string }

// description is the `key: value` lines of an element's desc.
func (n *node) description() []factLine {
	if n.el.facts != nil {
		return n.el.facts
	}
	out := []factLine{}
	for _, line := range strings.FieldsFunc(n.el.child("desc"), func(c rune) bool { return c == '\n' || c == '\r' }) {
		if i := strings.IndexAny(line, ":="); i > 0 {
			k := strings.TrimPrefix(strings.ToLower(clean(line[:i])), "data-")
			out = append(out, factLine{k, clean(line[i+1:])})
		} else {
			out = append(out, factLine{"", clean(line)})
		}
	}
	n.el.facts = out
	return out
}

// misspelt notes the facts that were likely meant to be one of the known
// ones, and are not.
func (f facts) misspelt(known words) []string {
	var out []string
	note := func(n *node, got, meant string) {
		out = append(out, fmt.Sprintf("%s: %q of %s is not read; write %s", f.name, got, n.el, meant))
	}
	for _, n := range f.nodes {
		for _, a := range n.el.attrs {
			if k, ok := strings.CutPrefix(a.key, "data-"); ok {
				if meant := known.near(k); meant != "" {
					note(n, a.key, "data-"+meant)
				}
			}
		}
		for _, line := range n.description() {
			first, _, _ := strings.Cut(strings.ToLower(line.value), " ")
			if meant := known.near(line.key); meant != "" {
				note(n, line.key, meant+": "+line.value)
			} else if line.key == "" && known.has(first) {
				note(n, start(line.value), first+": and its value")
			}
		}
	}
	return out
}

// twice notes the known facts that are given several times, each time
// otherwise: only one of them counts, and the maker may mean another.
func (f facts) twice(known words) []string {
	var out []string
	for _, key := range known {
		if key == "note" { // each line is one
			continue
		}
		var said []string
		add := func(v string) {
			if v = clean(v); !slices.ContainsFunc(said, func(s string) bool { return strings.EqualFold(s, v) }) {
				said = append(said, v)
			}
		}
		for _, n := range f.nodes {
			for _, a := range n.el.attrs {
				if a.key == "data-"+key {
					add(a.value)
				}
			}
			for _, line := range n.description() {
				if line.key == key {
					add(line.value)
				}
			}
		}
		if len(said) < 2 {
			continue
		}
		for i := range said {
			said[i] = fmt.Sprintf("%q", start(said[i]))
		}
		out = append(out, fmt.Sprintf("%s: its %s is given as %s: %s counts; keep the one that is right", f.name, key, strings.Join(said, " and as "), said[0]))
	}
	return out
}

func (f facts) errorf(at *element, key, value, problem, cure string) error {
	return &piece.Error{File: f.d.file, Piece: f.name, Element: at.String(), Problem: fmt.Sprintf("%s: %s: %s", key, start(value), problem), Cure: cure}
}

// count reads how many are cut, or how many scraps are alike.
func (f facts) count(key string) (int, error) {
	v, at, ok := f.get(key)
	if !ok {
		return 0, nil
	}
	n, err := strconv.Atoi(v)
	if err != nil || n < 1 {
		return 0, f.errorf(at, key, v, "it is not a whole number from 1 up", fmt.Sprintf("write for example %s: 2", key))
	}
	if n > maxCount {
		return 0, f.errorf(at, key, v, fmt.Sprintf("it is more than %d", maxCount), "check the number")
	}
	return n, nil
}

// kind is knit, woven or empty.
func (f facts) kind() (string, error) {
	v, at, ok := f.get("kind")
	if !ok {
		return "", nil
	}
	kind, err := scraps.ParseKind(v)
	if err != nil {
		return "", f.errorf(at, "kind", v, err.Error(), "write kind: knit or kind: woven")
	}
	return kind, nil
}

// use is lining or empty.
func (f facts) use() (string, error) {
	v, at, ok := f.get("use")
	if !ok {
		return "", nil
	}
	use, err := scraps.ParseUse(v)
	if err != nil {
		return "", f.errorf(at, "use", v, err.Error(), "write use: lining, or nothing")
	}
	return use, nil
}

// ready is whether a piece is cut already: ready: yes, or cut: 0.
func (f facts) ready() (bool, error) {
	ready, err := f.yes("ready")
	v, _, _ := f.get("cut")
	return ready || v == "0", err
}

// shrink is in percent, 0 where none is given.
func (f facts) shrink() (float64, error) {
	v, at, ok := f.get("shrink")
	if !ok {
		return 0, nil
	}
	percent, err := scraps.ParseShrink(v)
	if err != nil {
		return 0, f.errorf(at, "shrink", v, err.Error(), "write for example shrink: 5%")
	}
	return percent, nil
}

// stripe is how the stripes of a cloth run.
func (f facts) stripe() (piece.Stripe, error) {
	var given [2]*float64
	var where *element
	var as, said string
	for k, what := range []string{"stripe", "first"} {
		for _, unit := range []string{"mm", "cm", "in"} {
			key := what + "_" + unit
			v, at, ok := f.get(key)
			if !ok {
				continue
			}
			if given[k] != nil {
				return piece.Stripe{}, f.errorf(at, key, v, "it is given in two units", "keep one")
			}
			mm, err := scraps.ParseIn(v, unit)
			if err != nil {
				return piece.Stripe{}, f.errorf(at, key, v, err.Error(), fmt.Sprintf("write for example %s_cm: 4", what))
			}
			given[k], where, as, said = &mm, at, key, v
		}
	}
	runs, at, ok := f.get("stripe_runs")
	if ok && where == nil {
		where, as, said = at, "stripe_runs", runs
	}
	s, err := scraps.ParseStripe(given[0], given[1], runs)
	if err != nil {
		return s, f.errorf(where, as, said, err.Error(), "give for example stripe_cm: 4 and first_cm: 2.5, a line each")
	}
	return s, nil
}

// lining is whether a piece is lined: yes, no, or empty.
func (f facts) lining() (string, error) {
	if _, _, ok := f.get("lining"); !ok {
		return "", nil
	}
	lined, err := f.yes("lining")
	switch {
	case err != nil:
		return "", err
	case lined:
		return "yes", nil
	}
	return "no", nil
}

func (f facts) yes(key string) (bool, error) {
	v, at, ok := f.get(key)
	if !ok {
		return false, nil
	}
	yes, err := scraps.ParseYes(v)
	if err != nil {
		return false, f.errorf(at, key, v, err.Error(), fmt.Sprintf("write %s: yes or %s: no", key, key))
	}
	return yes, nil
}

// side is left or right, of the body, and empty where it is not said.
func (f facts) side() (string, error) {
	v, at, ok := f.get("side")
	side := strings.ToLower(v)
	if ok && side != "left" && side != "right" {
		return "", f.errorf(at, "side", v, "it is neither left nor right", "write side: left where what is drawn is worn on the left of the body, or side: right")
	}
	return side, nil
}

// maxAllowanceMM is far more than any hem.
const maxAllowanceMM = 200

// allowance is in mm, -1 where none is given.
func (f facts) allowance() (float64, error) {
	v, at, ok := f.get("allowance")
	if !ok {
		return -1, nil
	}
	mm, err := scraps.ParseLength(v)
	switch {
	case v == "0":
		return 0, nil
	case err != nil:
		return 0, f.errorf(at, "allowance", v, err.Error(), "write for example allowance: 10mm")
	case mm < 0 || math.IsNaN(mm):
		return 0, f.errorf(at, "allowance", v, "a seam allowance is not negative", "write for example allowance: 10mm")
	case mm > maxAllowanceMM:
		return 0, f.errorf(at, "allowance", v, fmt.Sprintf("it is more than %d mm", maxAllowanceMM), "check its unit")
	}
	return mm, nil
}

// An ease beyond these is no gathering.
const (
	maxEaseMM    = 5000
	maxEaseShare = 10
)

// ease reads by how much an edge may differ from what it is sewn to: a length,
// or a percentage of the shorter side.
func (f facts) ease() (piece.Ease, error) {
	v, at, ok := f.get("ease")
	if !ok || v == "0" {
		return piece.Ease{}, nil
	}
	var e piece.Ease
	var err error
	if percent, ok := strings.CutSuffix(v, "%"); ok {
		e.Share, err = strconv.ParseFloat(strings.Replace(strings.TrimSpace(percent), ",", ".", 1), 64)
		if e.Share /= 100; err != nil {
			err = fmt.Errorf("%q is not a number", start(percent))
		}
	} else {
		e.MM, err = scraps.ParseLength(v)
	}
	switch {
	case err != nil:
		return e, f.errorf(at, "ease", v, err.Error(), "write for example ease: 60mm or ease: 50%")
	case e.MM < 0 || e.Share < 0 || math.IsNaN(e.Share):
		return e, f.errorf(at, "ease", v, "ease is not negative: it is by how much the two sides may differ, either way", "write for example ease: 60mm or ease: 50%")
	case e.MM > maxEaseMM || e.Share > maxEaseShare:
		return e, f.errorf(at, "ease", v, fmt.Sprintf("it is more than %d m or %d %%", maxEaseMM/1000, maxEaseShare*100), "check its unit")
	}
	return e, nil
}

// joins reads the edges that an edge is sewn to: `back/shoulder`, several
// parted by commas.
func (f facts) joins() ([]piece.Ref, error) {
	v, at, ok := f.get("joins")
	if !ok {
		return nil, nil
	}
	var out []piece.Ref
	for _, one := range strings.FieldsFunc(v, func(c rune) bool { return c == ',' || c == ';' }) {
		i := strings.LastIndexByte(one, '/')
		if i < 0 {
			return nil, f.errorf(at, "joins", v, "it names no edge", "write the piece and its edge, as in joins: back/shoulder")
		}
		ref := piece.Ref{Piece: clean(one[:i]), Edge: piece.EdgeName(one[i+1:])}
		if ref.Piece == "" || ref.Edge == "" {
			return nil, f.errorf(at, "joins", v, "a piece or an edge is missing", "write the piece and its edge, as in joins: back/shoulder")
		}
		out = append(out, ref)
	}
	if len(out) == 0 {
		return nil, f.errorf(at, "joins", v, "it names no edge", "write the piece and its edge, as in joins: back/shoulder")
	}
	return out, nil
}
