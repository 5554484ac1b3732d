package soak

import (
	"bytes"
	"math"
	"testing"

	"eke/piece"
	"eke/split"
	"eke/split/plan"
	"eke/split/search"
	"eke/svg/draw"

	"pgregory.net/rapid"
)

const keptMM = 0.01

// Lengths keep a hundredth of a millimetre: a pattern is drawn and read, its
// pieces are split, and each part is drawn and read again.
func TestLengthsAreKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := setting{
			Seed:    rapid.Uint64Range(0, 1<<40).Draw(t, "seed"),
			Garment: rapid.SampledFrom([]string{"t-shirt", "vest", "raglan", "tshirt.svg", "raglan-child.svg", "blouse.svg"}).Draw(t, "garment"),
			Notches: rapid.IntRange(0, 5).Draw(t, "notches"), Darts: rapid.IntRange(0, 2).Draw(t, "darts"), FishEyes: rapid.IntRange(0, 2).Draw(t, "fish-eyes"),
			Allowances: rapid.Bool().Draw(t, "allowances"), Turned: rapid.Bool().Draw(t, "turned"), AllowanceMM: 10,
		}
		s.Puzzle.SlackMM = 25
		drawn, _, err := s.draw()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range drawn {
			p.Count, p.Mirrored = 1, false
			for i := range p.Outline {
				p.Outline[i].Joins = nil
			}
		}
		var b bytes.Buffer
		if err := draw.Of(s.uncut(drawn)).Pieces(&b, 0); err != nil {
			t.Fatal(err)
		}
		read, err := asDrawn(&b, "pattern.svg")
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range read {
			alike(t, p.Name, lengths(drawn[i].Outline), lengths(p.Outline))
		}
		res, cloth := s.byHand(read, 0)
		if res == nil {
			t.Skip("these cuts cannot be made")
		}
		d := s.document(res, cloth)
		made := map[string]map[string]float64{}
		for k, part := range d.Options[0].Parts {
			b.Reset()
			if err := draw.Of(d).Part(&b, 0, k); err != nil {
				t.Fatal(err)
			}
			got, err := asDrawn(&b, part.Name+".svg")
			if err != nil {
				t.Fatal(err)
			}
			want, shortest := map[string]float64{}, math.Inf(1)
			for _, e := range part.Edges {
				want["all"] += e.LengthMM
				shortest = math.Min(shortest, e.LengthMM)
				if made[part.Piece] == nil {
					made[part.Piece] = map[string]float64{}
				}
				if e.Seam == "" {
					want[e.Name] += e.LengthMM
					made[part.Piece][e.Name] += e.LengthMM
				}
			}
			delete(want, "")
			have := lengths(got[0].Outline)
			if shortest < 2.1 {
				// A stub goes over to its neighbour.
				want = map[string]float64{"all": want["all"]}
			}
			alike(t, part.Name, want, have)
		}
		for _, p := range read {
			want := lengths(p.Outline)
			delete(want, "all")
			alike(t, p.Name+" in parts", want, made[p.Name])
		}
	})
}

// lengths is how long an outline's named edges are, and all of it.
func lengths(o piece.Outline) map[string]float64 {
	out := map[string]float64{}
	for _, e := range o {
		if e.Name != "" {
			out[e.Name] += e.Line.Length()
		}
		out["all"] += e.Line.Length()
	}
	return out
}

func alike(t *rapid.T, what string, want, got map[string]float64) {
	t.Helper()
	for name, mm := range want {
		if math.Abs(got[name]-mm) > keptMM {
			t.Fatalf("%s: %s of %.4f mm, and then %.4f", what, name, mm, got[name])
		}
	}
}

// uncut is the document of pieces that are left whole.
func (s setting) uncut(pieces []*piece.Piece) *plan.Document {
	p := &split.Plan{Pieces: pieces}
	for range pieces {
		p.Trees = append(p.Trees, new(split.Tree))
	}
	m, err := split.Make(p, s.AllowanceMM)
	if err != nil {
		return &plan.Document{}
	}
	return s.document(&search.Result{Plans: []*split.Made{m}, Drawn: pieces}, []piece.Scrap{{Name: "cloth", Count: 1}})
}
