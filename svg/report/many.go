package report

import (
	"fmt"
	"slices"

	"eke/split/plan"
	"eke/svg/measure"
)

// A garment in stripes has more seams than anyone reads one by one. Where there
// are many, those of one kind in one piece are told together, and so are the
// terms of the cost that bear one name.
const (
	manySeams = 6
	manyTerms = 4
)

// shows tells how the piecing seams of an option show.
func shows(d *plan.Document, o *plan.Option, u measure.Unit) []string {
	one := func(s *plan.PiecingSeam) string {
		return fmt.Sprintf("%s: %s in the %s, %s", plan.Plain(s.Name), plan.Plain(s.Called), plan.Plain(d.CopyName(s.Piece, s.Copy)), u.Long(s.LengthMM))
	}
	type kind struct{ called, piece string }
	var order []kind
	together := map[kind][]int{}
	var out []string
	for i := range o.PiecingSeams {
		s := &o.PiecingSeams[i]
		out = append(out, one(s))
		k := kind{s.Called, s.Piece}
		if len(together[k]) == 0 {
			order = append(order, k)
		}
		together[k] = append(together[k], i)
	}
	if len(out) < manySeams {
		return out
	}
	out = nil
	for _, k := range order {
		seams := together[k]
		first := &o.PiecingSeams[seams[0]]
		if len(seams) == 1 {
			out = append(out, one(first))
			continue
		}
		long, copies := 0.0, map[int]bool{}
		for _, i := range seams {
			long += o.PiecingSeams[i].LengthMM
			copies[o.PiecingSeams[i].Copy] = true
		}
		where := "the " + d.CopyName(k.piece, first.Copy)
		switch {
		case len(copies) == 2:
			where = "both copies of the " + k.piece
		case len(copies) > 2:
			where = fmt.Sprintf("%d copies of the %s", len(copies), k.piece)
		}
		out = append(out, fmt.Sprintf("%s: %d %ss in %s, %s together", runs(o, seams), len(seams), plan.Plain(k.called), plan.Plain(where), u.Long(long)))
	}
	return out
}

// runs names seams: "A to D and F".
func runs(o *plan.Option, seams []int) string {
	name := func(i int) string { return plan.Plain(o.PiecingSeams[i].Name) }
	var out []string
	for i := 0; i < len(seams); {
		k := i
		for k+1 < len(seams) && seams[k+1] == seams[k]+1 {
			k++
		}
		switch k - i {
		case 0:
			out = append(out, name(seams[i]))
		case 1:
			out = append(out, name(seams[i]), name(seams[k]))
		default:
			out = append(out, name(seams[i])+" to "+name(seams[k]))
		}
		i = k + 1
	}
	return plan.And(out)
}

// term is what a plan costs for one thing, or for several alike.
type term struct {
	Name   string
	How    []string // each of them
	Points float64
	Many   bool
}

// terms are those of a cost, many that bear one name as one.
func terms(all []plan.Term) (out []term) {
	for _, t := range all {
		k := slices.IndexFunc(out, func(o term) bool { return o.Name == t.Name })
		if same := slices.DeleteFunc(slices.Clone(all), func(o plan.Term) bool { return o.Name != t.Name }); k < 0 || len(same) < manyTerms {
			out = append(out, term{t.Name, []string{t.Detail}, t.Points, false})
			continue
		}
		out[k].How, out[k].Points, out[k].Many = append(out[k].How, t.Detail), out[k].Points+t.Points, true
	}
	return out
}
