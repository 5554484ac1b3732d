package replan

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
)

// sameMM is how far apart the same point may be in two readings of a drawing: the
// last digits of sums are not alike on all processors.
const sameMM = 1e-3

// otherPieces is what differs between the pieces of a plan and some copies; empty
// where nothing does.
func otherPieces(old *plan.Document, copies []*piece.Piece) string {
	r := split.Record{Drawn: copies}
	now := r.Document().Pieces
	count := func(ps []plan.Piece, name string) (n int) {
		for _, p := range ps {
			if p.Name == name {
				n++
			}
		}
		return n
	}
	for _, p := range now {
		switch was, is := count(old.Pieces, p.Name), count(now, p.Name); {
		case was == 0:
			return fmt.Sprintf("piece %s is new", p.Name)
		case was != is:
			return fmt.Sprintf("%s is cut %d times, and was %d", p.Name, is, was)
		}
	}
	for i, p := range old.Pieces {
		if count(now, p.Name) == 0 {
			return fmt.Sprintf("piece %s is gone", p.Name)
		}
		if i >= len(now) || now[i].Name != p.Name || now[i].Copy != p.Copy {
			return fmt.Sprintf("%s stands elsewhere in it", p.Name)
		}
		q := now[i]
		if mm, same := apart(p.SeamLine, q.SeamLine); !same {
			return fmt.Sprintf("the outline of %s is another", p.Name) + by(mm)
		}
		if len(p.Edges) != len(q.Edges) {
			return fmt.Sprintf("%s has %d edges, and had %d", p.Name, len(q.Edges), len(p.Edges))
		}
		for k := range p.Edges {
			a, b := p.Edges[k], q.Edges[k]
			if a.AllowanceMM != b.AllowanceMM {
				return fmt.Sprintf("the allowance of %s is %g mm, and was %g mm", edgeOf(p.Name, a), b.AllowanceMM, a.AllowanceMM)
			}
			a.D, b.D, a.LengthMM, b.LengthMM = "", "", 0, 0
			if !alike(a, b) {
				return fmt.Sprintf("%s has another name, other joins or another ease", edgeOf(p.Name, p.Edges[k]))
			}
		}
		if math.Abs(p.GrainDeg-q.GrainDeg) > 1e-6 {
			return fmt.Sprintf("the grain of %s lies at %.1f degrees, and lay at %.1f", p.Name, q.GrainDeg, p.GrainDeg)
		}
		for _, f := range []struct {
			what     string
			was, now any
		}{
			{"fabric", p.Fabric, q.Fabric}, {"kind", p.Kind, q.Kind}, {"use", p.Use, q.Use}, {"side", p.Side, q.Side},
			{"being optional", p.Optional, q.Optional}, {"being ready", p.Ready, q.Ready}, {"being mirrored", p.Flipped, q.Flipped},
		} {
			if f.was != f.now {
				return fmt.Sprintf("of %s its %s is %s, and was %s", p.Name, f.what, shown(f.now), shown(f.was))
			}
		}
		for _, f := range []struct {
			what     string
			was, now []plan.Point
		}{{"notches", marks(p.Notches), marks(q.Notches)}, {"darts", corners(p), corners(q)}} {
			if mm, same := apart(f.was, f.now); !same {
				return fmt.Sprintf("the %s of %s are others", f.what, p.Name) + by(mm)
			}
		}
	}
	return ""
}

func by(mm float64) string {
	if mm == 0 || math.IsInf(mm, 0) {
		return ""
	}
	return fmt.Sprintf(", by up to %.1f mm", mm)
}

// apart is how far apart the points of two lines are, and whether they are the
// same; it is 0 where there are not as many.
func apart(a, b []plan.Point) (mm float64, same bool) {
	if len(a) != len(b) {
		return 0, false
	}
	for i := range a {
		mm = math.Max(mm, math.Hypot(a[i][0]-b[i][0], a[i][1]-b[i][1]))
	}
	return mm, mm <= sameMM
}

func marks(ns []plan.Notch) (out []plan.Point) {
	for _, n := range ns {
		for range max(1, n.Count) {
			out = append(out, n.At)
		}
	}
	return out
}

func corners(p plan.Piece) (out []plan.Point) {
	for _, d := range p.Darts {
		out = append(out, d[:]...)
	}
	for _, f := range p.FishEyes {
		out = append(out, f[:]...)
	}
	return out
}

func edgeOf(piece string, e plan.Edge) string {
	if e.Name == "" {
		return "an edge of " + piece
	}
	return piece + "/" + e.Name
}

// shown is a fact in a sentence.
func shown(fact any) string {
	switch f := fact.(type) {
	case bool:
		if f {
			return "yes"
		}
		return "no"
	case float64:
		return fmt.Sprintf("%g", f)
	}
	if s := fmt.Sprint(fact); s != "" {
		return fmt.Sprintf("%q", s)
	}
	return "not given"
}

func alike(a, b any) bool {
	x, err1 := json.Marshal(a)
	y, err2 := json.Marshal(b)
	return err1 == nil && err2 == nil && bytes.Equal(x, y)
}

// itsPile is the scraps that a plan was made for, of those of a garment and its lining
// that were planned in one go: each plan has its own pile, what is kept for the lining
// or what is not.
func itsPile(old *plan.Document, cloth []piece.Scrap) (out []piece.Scrap) {
	for _, s := range cloth {
		if slices.ContainsFunc(old.Scraps, func(o plan.Scrap) bool {
			return o.Name == s.Name || (o.Use == piece.UseLining) == (s.Use == piece.UseLining)
		}) {
			out = append(out, s)
		}
	}
	return out
}

// asBefore is scraps in the order of a plan's, and after them those that it had not.
func asBefore(old *plan.Document, scraps []*piece.Scrap) []*piece.Scrap {
	place := func(s *piece.Scrap) int {
		if k := slices.IndexFunc(old.Scraps, func(o plan.Scrap) bool { return o.Name == s.Name && max(1, o.Copy) == max(1, s.Copy) }); k >= 0 {
			return k
		}
		return len(old.Scraps)
	}
	slices.SortStableFunc(scraps, func(a, b *piece.Scrap) int { return place(a) - place(b) })
	return scraps
}

// otherScraps is what differs between the scraps of a plan and those in a pile; empty
// where nothing does.
func otherScraps(old *plan.Document, scraps []*piece.Scrap) string {
	r := split.Record{Scraps: scraps}
	now := r.Document().Scraps
	has := func(in []plan.Scrap, s plan.Scrap) int {
		for i := range in {
			if in[i].Name == s.Name && in[i].Copy == s.Copy {
				return i
			}
		}
		return -1
	}
	for i, s := range old.Scraps {
		k := has(now, s)
		if k < 0 {
			return fmt.Sprintf("scrap %s is gone", called(old.Scraps, s))
		}
		if k != i {
			return fmt.Sprintf("scrap %s stands elsewhere among them", called(old.Scraps, s))
		}
		t, name := now[k], called(old.Scraps, s)
		if mm, same := apart(s.Outline, t.Outline); !same {
			return fmt.Sprintf("the outline of scrap %s is another", name) + by(mm)
		}
		if len(s.Holes) != len(t.Holes) {
			return fmt.Sprintf("scrap %s has %d holes, and had %d", name, len(t.Holes), len(s.Holes))
		}
		for n := range s.Holes {
			if mm, same := apart(s.Holes[n], t.Holes[n]); !same {
				return fmt.Sprintf("hole %d of scrap %s is another", n+1, name) + by(mm)
			}
		}
		for _, f := range []struct {
			what     string
			was, now any
		}{
			{"fabric", s.Fabric, t.Fabric}, {"kind", s.Kind, t.Kind}, {"look", s.Look, t.Look}, {"use", s.Use, t.Use}, {"nap", s.Nap, t.Nap},
			{"face", s.Face, t.Face}, {"grain", math.Round(s.GrainDeg*1e6) / 1e6, math.Round(t.GrainDeg*1e6) / 1e6}, {"shrinking", s.Shrink, t.Shrink},
			{"repeat of stripes", s.StripeMM, t.StripeMM}, {"first stripe", s.FirstMM, t.FirstMM}, {"stripes' direction", s.StripeRuns, t.StripeRuns},
		} {
			if f.was != f.now {
				return fmt.Sprintf("of scrap %s its %s is %s, and was %s", name, f.what, shown(f.now), shown(f.was))
			}
		}
	}
	return ""
}

func called(in []plan.Scrap, s plan.Scrap) string {
	return (&plan.Document{Scraps: in}).ScrapName(s.Name, s.Copy)
}
