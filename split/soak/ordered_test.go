package soak

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"eke/split/plan"
	"eke/split/search"
)

// told is a seam of the garment as a sewing order tells it.
type told struct {
	a, b  []string // edges in a row, as piece/edge
	step  int
	oneGo bool // its step is said to be sewn in one go
}

// ordered holds the sewing orders of a plan against its pieces: each step can be done
// when it is told, and nothing is left out. It reads the sentences, as a maker would.
func ordered(_ setting, d *plan.Document, _ *search.Result) error {
	for k, o := range d.Options {
		r := newOrder(d, o)
		for _, judge := range []func() error{r.piecing, r.joinsOnce, r.guesses, r.allThere, r.rowsWhole, r.crossings, r.inOneGo, r.stripsFirst, r.hemsLast, r.turnedFirst, r.copiesThere} {
			if err := judge(); err != nil {
				return fault("sewing order", "option %d: %v\n%s", k+1, err, strings.Join(o.SewingOrder, "\n"))
			}
		}
	}
	return nil
}

// order is a sewing order, read.
type order struct {
	d      *plan.Document
	o      plan.Option
	goOn   int                 // the step that goes on with the garment
	joins  map[string][]string // of each edge
	beside map[string][]string // the edges next to each on its piece
	seams  []told
}

var (
	aRef     = `[^\s,;:/]+/[^\s,;:]*[^\s,;:.]`
	aRow     = aRef + `(?: \+ ` + aRef + `)*`
	pairOf   = regexp.MustCompile(`(` + aRow + `)(?: and (` + aRow + `), one on the other,)? to (` + aRow + `)`)
	refOf    = regexp.MustCompile(aRef)
	pieceSew = regexp.MustCompile(`^Sew ([A-Z]+), an? [^:]*: (.*) to (.*), right sides together`)
)

func newOrder(d *plan.Document, o plan.Option) *order {
	r := &order{d: d, o: o, goOn: len(o.SewingOrder), joins: map[string][]string{}, beside: map[string][]string{}}
	there := map[string]bool{}
	for _, part := range o.Parts {
		there[part.Piece] = true
	}
	for _, p := range d.Pieces {
		there[p.Name] = there[p.Name] || p.Ready
	}
	for _, p := range d.Pieces {
		if !there[p.Name] || p.Copy > 1 {
			continue
		}
		for i, e := range p.Edges {
			if e.Name == "" {
				continue
			}
			ref, n := p.Name+"/"+e.Name, len(p.Edges)
			for _, j := range e.Joins {
				if name, _, _ := strings.Cut(j, "/"); there[name] && !slices.Contains(r.joins[ref], j) {
					r.joins[ref] = append(r.joins[ref], j)
				}
			}
			for _, k := range []int{(i + 1) % n, (i + n - 1) % n} {
				r.beside[ref] = append(r.beside[ref], p.Name+"/"+p.Edges[k].Name)
			}
		}
	}
	for i, step := range o.SewingOrder {
		if strings.HasPrefix(step, "Go on") || strings.HasPrefix(step, "Sew the pattern as drawn") {
			r.goOn = i
		}
		if i <= r.goOn || strings.HasPrefix(step, "Turn ") {
			continue
		}
		pairs, _, _ := strings.Cut(step, ";")
		for _, m := range pairOf.FindAllStringSubmatch(pairs, -1) {
			for _, a := range m[1:3] {
				if a != "" {
					r.seams = append(r.seams, told{a: strings.Split(a, " + "), b: strings.Split(m[3], " + "), step: i, oneGo: strings.Contains(step, "in one go")})
				}
			}
		}
	}
	return r
}

// piecing: the seams that the plan adds come before all others, each between parts
// that are whole by then, and leave each piece whole.
func (r *order) piecing() error {
	whole := map[string]string{} // of a part, the part that stands for all it is sewn to
	for _, p := range r.o.Parts {
		whole[p.Name] = p.Name
	}
	left := map[string]bool{}
	for _, s := range r.o.PiecingSeams {
		left[s.Name] = true
	}
	for i, step := range r.o.SewingOrder {
		m := pieceSew.FindStringSubmatch(step)
		if m == nil {
			continue
		}
		if i > r.goOn {
			return fmt.Errorf("seam %s is sewn after the garment is begun", m[1])
		}
		if !left[m[1]] {
			return fmt.Errorf("seam %s is sewn twice, or is none", m[1])
		}
		delete(left, m[1])
		var sides [2]string
		for k, side := range m[2:4] {
			parts := strings.Split(side, " and ")
			for _, part := range parts {
				if whole[part] == "" || whole[part] != whole[parts[0]] {
					return fmt.Errorf("seam %s is sewn to %s, which is not whole", m[1], side)
				}
			}
			sides[k] = whole[parts[0]]
		}
		if sides[0] == sides[1] {
			return fmt.Errorf("seam %s joins parts that are joined already", m[1])
		}
		for part, of := range whole {
			if of == sides[1] {
				whole[part] = sides[0]
			}
		}
	}
	if len(left) > 0 {
		return fmt.Errorf("no step sews %v", slices.Sorted(maps.Keys(left)))
	}
	one := map[string]string{}
	for _, p := range r.o.Parts {
		id := fmt.Sprint(p.Piece, " ", p.Copy)
		if one[id] == "" {
			one[id] = whole[p.Name]
		}
		if one[id] != whole[p.Name] {
			return fmt.Errorf("%s is not whole after the piecing seams", id)
		}
	}
	return nil
}

// joinsOnce: each join of the pattern is sewn once, and nothing else is.
func (r *order) joinsOnce() error {
	sewn := map[[2]string]int{}
	for _, s := range r.seams {
		found := false
		for _, a := range s.a {
			for _, b := range s.b {
				if slices.Contains(r.joins[a], b) {
					sewn[[2]string{min(a, b), max(a, b)}]++
					found = true
				}
			}
		}
		if !found {
			return fmt.Errorf("%v is sewn to %v, and the pattern does not join them", s.a, s.b)
		}
	}
	if len(r.joins) == 0 {
		return nil
	}
	for a, to := range r.joins {
		for _, b := range to {
			if n := sewn[[2]string{min(a, b), max(a, b)}]; n != 1 {
				return fmt.Errorf("%s is joined to %s, and sewn to it in %d steps", a, b, n)
			}
		}
	}
	return nil
}

// guesses: what is sewn on by the names of edges alone is sewn to what is sewn itself.
func (r *order) guesses() error {
	sewn := map[string]bool{}
	for _, s := range r.seams {
		for _, e := range slices.Concat(s.a, s.b) {
			name, _, _ := strings.Cut(e, "/")
			sewn[name] = true
		}
	}
	for _, step := range r.o.SewingOrder {
		guess, _, by := strings.Cut(step, ": the pattern joins them by their names alone")
		for _, e := range refOf.FindAllString(guess, -1) {
			if name, _, _ := strings.Cut(e, "/"); by && !sewn[name] {
				return fmt.Errorf("%s: nothing says that %s is sewn at all", guess, name)
			}
		}
	}
	return nil
}

// allThere: every piece is in a step, where the pattern joins any.
func (r *order) allThere() error {
	if len(r.joins) == 0 {
		return nil
	}
	said := strings.Join(r.o.SewingOrder[min(r.goOn+1, len(r.o.SewingOrder)):], " ")
	for _, part := range r.o.Parts {
		if !regexp.MustCompile(`(^|[\s,])` + regexp.QuoteMeta(part.Piece) + `($|[\s,;:/.])`).MatchString(said) {
			return fmt.Errorf("no step is about %s", part.Piece)
		}
	}
	return nil
}

// meet reports whether one of some edges lies beside one of a row.
func (r *order) meet(edges, row []string) bool {
	return slices.ContainsFunc(row, func(e string) bool {
		return slices.ContainsFunc(r.beside[e], func(b string) bool { return slices.Contains(edges, b) })
	})
}

// closing are the seams that end between two rows.
func (r *order) closing(row, other []string, not ...int) (out []int) {
	for i, s := range r.seams {
		if !slices.Contains(not, i) && (r.meet(s.a, row) && r.meet(s.b, other) || r.meet(s.b, row) && r.meet(s.a, other)) {
			out = append(out, i)
		}
	}
	return out
}

// rowsWhole: edges that are sewn on in a row hang together by seams that are sewn
// before, and no seam that ends on another is sewn after it, but where it is sewn in
// one go with what lies on the other side.
func (r *order) rowsWhole() error {
	for i, s := range r.seams {
		for k, row := range [][]string{s.a, s.b} {
			reached := []string{row[0]}
			for n := 0; n < len(reached); n++ {
				for _, e := range row {
					one, to := reached[n:n+1], []string{e}
					if !slices.Contains(reached, e) && (r.meet(to, one) || slices.ContainsFunc(r.closing(one, to, i), func(v int) bool { return r.seams[v].step < s.step })) {
						reached = append(reached, e)
					}
				}
			}
			for _, e := range row {
				if !slices.Contains(reached, e) {
					return fmt.Errorf("%v is sewn to %v before the row is whole", s.a, s.b)
				}
			}
			later := func(v int) bool { return r.seams[v].step >= s.step }
			other := [][]string{s.b, s.a}[k]
			for _, v := range r.closing(row, row, i) {
				if later(v) && !slices.ContainsFunc(r.closing(other, other, i), later) {
					return fmt.Errorf("%v is sewn to %v before %v to %v, which ends on it", s.a, s.b, r.seams[v].a, r.seams[v].b)
				}
			}
		}
	}
	return nil
}

// crossings: of two lines of seams that cross, one is sewn before the other.
func (r *order) crossings() error {
	side := func(i, k int) []string { return [][]string{r.seams[i].a, r.seams[i].b}[k] }
	// apart reports whether what crosses two seams on one side has a mate on the other.
	apart := func(w, v int) (bad [][2]int) {
		for k := range 2 {
			here, there := r.closing(side(w, 0), side(v, k), w, v), r.closing(side(w, 1), side(v, 1-k), w, v)
			for _, x := range here {
				for _, y := range there {
					if x == y {
						continue
					}
					before := func(a, b int) bool { return r.seams[a].step < r.seams[b].step }
					clear := func(x, y int) bool {
						return before(x, w) && before(x, v) && before(y, w) && before(y, v) || before(w, x) && before(w, y) && before(v, x) && before(v, y)
					}
					if !clear(x, y) && !slices.ContainsFunc(here, func(x int) bool { return clear(x, y) }) && !slices.ContainsFunc(there, func(y int) bool { return clear(x, y) }) {
						bad = append(bad, [2]int{min(x, y), max(x, y)})
					}
				}
			}
		}
		return bad
	}
	for w := range r.seams {
		for v := range w {
			for _, xy := range apart(w, v) {
				if slices.Contains(apart(xy[0], xy[1]), [2]int{v, w}) {
					return fmt.Errorf("%v, %v and %v, %v cross, and neither line is sewn before the other", r.seams[w].a, r.seams[v].a, r.seams[xy[0]].a, r.seams[xy[1]].a)
				}
			}
		}
	}
	return nil
}

// inOneGo: what is sewn in one go is one line by then.
func (r *order) inOneGo() error {
	steps := map[int][]int{}
	for i, s := range r.seams {
		if s.oneGo {
			steps[s.step] = append(steps[s.step], i)
		}
	}
	for step, seams := range steps {
		goesOn := func(i, j int) bool {
			s, t := r.seams[i], r.seams[j]
			for _, to := range [][2][]string{{t.a, t.b}, {t.b, t.a}} {
				sewn := func(row, other []string) bool {
					return r.meet(row, other) || slices.ContainsFunc(r.closing(row, other, i, j), func(v int) bool { return r.seams[v].step < step })
				}
				if sewn(s.a, to[0]) && sewn(s.b, to[1]) {
					return true
				}
			}
			return false
		}
		reached := seams[:1:1]
		for n := 0; n < len(reached); n++ {
			for _, j := range seams {
				if !slices.Contains(reached, j) && goesOn(reached[n], j) {
					reached = append(reached, j)
				}
			}
		}
		if len(reached) < len(seams) {
			return fmt.Errorf("step %d sews in one go what is not one line yet", step+1)
		}
	}
	return nil
}

var stripOf = regexp.MustCompile(`mm of (` + aRef + `) lie on`)

// stripsFirst: what of an edge lies on the next piece, for a seam was moved, is there
// before that edge is sewn.
func (r *order) stripsFirst() error {
	for i, step := range r.o.SewingOrder {
		for _, m := range stripOf.FindAllStringSubmatch(step, -1) {
			for _, s := range r.seams {
				if s.step < i && (slices.Contains(s.a, m[1]) || slices.Contains(s.b, m[1])) {
					return fmt.Errorf("%v is sewn to %v before all of %s is there", s.a, s.b, m[1])
				}
			}
		}
	}
	return nil
}

// hemsLast: the seams that end on hems, or on other edges that are turned in, are sewn
// before these are.
func (r *order) hemsLast() error {
	for i, step := range r.o.SewingOrder {
		if !strings.HasPrefix(step, "Turn ") {
			continue
		}
		turned := refOf.FindAllString(step, -1)
		for _, v := range r.closing(turned, turned) {
			if r.seams[v].step > i {
				return fmt.Errorf("%v are turned in before %v is sewn to %v", turned, r.seams[v].a, r.seams[v].b)
			}
		}
	}
	return nil
}

var goesBetween = regexp.MustCompile(`([^\s,;]+)(?:, turned,)? go(?:es)? between ([^\s,;]+)`)

// turnedFirst: the copies of a piece that are sewn to each other and turned are so before
// the piece is sewn to another, a ring is no layer, and none goes between its own.
func (r *order) turnedFirst() error {
	for i, step := range r.o.SewingOrder {
		for _, m := range goesBetween.FindAllStringSubmatch(step, -1) {
			if strings.HasPrefix(m[2], m[1]+"-") {
				return fmt.Errorf("%s goes between itself in step %d", m[1], i+1)
			}
		}
		name, isRing := strings.CutPrefix(step, "Sew the ends of ")
		name, _, _ = strings.Cut(name, " ")
		if !isRing {
			if !strings.Contains(step, "turn right sides out") {
				continue
			}
			name, _, _ = strings.Cut(refOf.FindString(step), "/")
		}
		of := func(e string) bool { return strings.HasPrefix(e, name+"/") }
		var ends, away []string
		for _, s := range r.seams {
			if a, b := slices.ContainsFunc(s.a, of), slices.ContainsFunc(s.b, of); a && b {
				if s.step == i {
					ends = append(ends, slices.Concat(s.a, s.b)...)
				}
			} else if a || b {
				if s.step < i {
					return fmt.Errorf("%s is sewn to another piece before step %d closes it", name, i+1)
				}
				away = append(away, slices.Concat(s.a, s.b)...)
			}
		}
		for _, e := range ends {
			if isRing && len(away) > 0 && !r.meet([]string{e}, away) {
				return fmt.Errorf("%s lies along the whole of %s, and is called an end", e, name)
			}
		}
	}
	return nil
}

// copiesThere: each copy that lies on another of its piece is spoken of, of a yoke, a
// collar, a stand and a cuff.
func (r *order) copiesThere() error {
	if len(r.joins) == 0 {
		return nil
	}
	said := strings.Join(r.o.SewingOrder[min(r.goOn+1, len(r.o.SewingOrder)):], " ")
	copies := map[string]int{}
	for _, p := range r.d.Pieces {
		if p.Name == "yoke" || p.Name == "collar" || p.Name == "stand" || p.Name == "cuff" {
			name := p.Name
			if p.Side != "" {
				name += "-" + p.Side
			}
			if p.Side != "" || p.Name != "cuff" { // else one for either hand
				copies[name]++
			}
		}
	}
	for name, n := range copies {
		for k := 1; k <= n && n > 1; k++ {
			if one := fmt.Sprintf("%s-%d", name, k); !regexp.MustCompile(one+`($|[\s,;:.])`).MatchString(said) && !slices.ContainsFunc(r.d.Pieces, func(p plan.Piece) bool { return p.Name == one }) {
				return fmt.Errorf("no step is about %s", one)
			}
		}
	}
	return nil
}
