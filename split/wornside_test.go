package split_test

import (
	"fmt"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// frontPiece is a half front, its centre to the left on the page.
func frontPiece(name string) *piece.Piece {
	corner := func(x, y float64) orb.Point { return orb.Point{x, y} }
	side := func(name string, from, to orb.Point, joins ...piece.Ref) piece.Edge {
		return piece.Edge{Name: name, Line: curve.Polyline(from, to), AllowanceMM: 10, Joins: joins}
	}
	return &piece.Piece{Name: name, GrainDeg: 90, Count: 2, Mirrored: true, Outline: piece.Outline{
		side("neck", corner(0, 80), corner(80, 0)),
		side("shoulder", corner(80, 0), corner(200, 40)),
		side("armhole", corner(200, 40), corner(240, 230)),
		side("side", corner(240, 230), corner(250, 600)),
		side("hem", corner(250, 600), corner(0, 600)),
		side("centre", corner(0, 600), corner(0, 80)),
	}}
}

// legPiece is a leg in one piece, its front to the left on the page: who looks at somebody's
// left side has the front on the left (common practice, no source).
func legPiece(name string) *piece.Piece {
	edge := func(name string, from, to orb.Point) piece.Edge {
		return piece.Edge{Name: name, Line: curve.Polyline(from, to), AllowanceMM: 10}
	}
	return &piece.Piece{Name: name, GrainDeg: 90, Count: 2, Mirrored: true, Outline: piece.Outline{
		edge("waist", orb.Point{110, 0}, orb.Point{430, 20}),
		edge("centre-back", orb.Point{430, 20}, orb.Point{500, 260}),
		edge("inseam-back", orb.Point{500, 260}, orb.Point{370, 930}),
		edge("hem", orb.Point{370, 930}, orb.Point{190, 930}),
		edge("inseam-front", orb.Point{190, 930}, orb.Point{40, 250}),
		edge("centre-front", orb.Point{40, 250}, orb.Point{110, 0}),
	}}
}

// turnedOver is the piece drawn as its mirror image, or turned on the page.
func turnedOver(p *piece.Piece, m curve.Matrix) *piece.Piece {
	c := *p
	c.Outline = p.Outline.Transform(m)
	c.Side, c.Across = "", [2]string{}
	return &c
}

func ids(copies []*piece.Piece) (out []string) {
	for _, c := range copies {
		out = append(out, c.CopyName())
	}
	return out
}

func TestWornSides(t *testing.T) {
	flip, upsideDown := curve.Matrix{-1, 0, 0, 1, 0, 0}, curve.Matrix{-1, 0, 0, -1, 0, 0}
	saying := func(p *piece.Piece, side string) *piece.Piece { p.Side = side; return p }
	sewn := func(p *piece.Piece, edge, to string) *piece.Piece {
		for i := range p.Outline {
			if p.Outline[i].Name == edge {
				p.Outline[i].Joins = []piece.Ref{{Piece: to, Edge: edge}}
			}
		}
		return p
	}
	for name, c := range map[string]struct {
		pieces []*piece.Piece
		want   []string
	}{
		"a front, its side to the right":   {[]*piece.Piece{frontPiece("front")}, []string{"front-left", "front-right"}},
		"a front, its side to the left":    {[]*piece.Piece{turnedOver(frontPiece("front"), flip)}, []string{"front-right", "front-left"}},
		"a front, upside down":             {[]*piece.Piece{turnedOver(frontPiece("front"), upsideDown)}, []string{"front-left", "front-right"}},
		"a back":                           {[]*piece.Piece{frontPiece("back")}, []string{"back-right", "back-left"}},
		"a lining, right side in":          {[]*piece.Piece{frontPiece("front lining")}, []string{"front lining-right", "front lining-left"}},
		"nothing told: the drawn is right": {[]*piece.Piece{frontPiece("yoke")}, []string{"yoke-right", "yoke-left"}},
		"the fact counts first":            {[]*piece.Piece{saying(frontPiece("front"), "right")}, []string{"front-right", "front-left"}},
		"and a word in the name":           {[]*piece.Piece{frontPiece("right front")}, []string{"right front-right", "right front-left"}},
		"sewn to a front at the side":      {[]*piece.Piece{frontPiece("front"), sewn(frontPiece("panel"), "side", "front")}, []string{"front-left", "front-right", "panel-right", "panel-left"}},
		"sewn to one that is named later":  {[]*piece.Piece{sewn(frontPiece("panel"), "side", "front"), frontPiece("front")}, []string{"panel-right", "panel-left", "front-left", "front-right"}},
		"a leg in one piece, front left":   {[]*piece.Piece{legPiece("leg")}, []string{"leg-left", "leg-right"}},
		"a leg in one piece, front right":  {[]*piece.Piece{turnedOver(legPiece("leg"), flip)}, []string{"leg-right", "leg-left"}},
		"sewn to one drawn the other way":  {[]*piece.Piece{frontPiece("front"), sewn(turnedOver(frontPiece("panel"), flip), "side", "front")}, []string{"front-left", "front-right", "panel-left", "panel-right"}},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.want, ids(split.Copies(c.pieces))) })
	}
}

// The samples' own, found by hand: a paper piece of each laid on a body. The
// facing is sewn right sides together to the front that its mirror image is of.
func TestWornSidesOfTheSamples(t *testing.T) {
	for name, want := range map[string][]string{
		"tshirt.svg":       {"front", "back", "sleeve-right", "sleeve-left", "neckband"},
		"raglan-child.svg": {"front", "back", "sleeve-right", "sleeve-left", "neckband", "cuff-1", "cuff-2"},
		"cardigan.svg":     {"front-left", "front-right", "back", "sleeve-right", "sleeve-left", "band"},
		"blouse.svg":       {"front-left", "front-right", "back", "facing-right", "facing-left", "collar-1", "collar-2", "binding-1", "binding-2"},
	} {
		require.Equal(t, want, ids(sample(t, name)))
	}
}

// Four copies, two of them mirror images: each side has its first and second.
func TestTwoCopiesASide(t *testing.T) {
	p := frontPiece("flap")
	p.Count = 4
	copies := split.Copies([]*piece.Piece{p})
	require.Equal(t, []string{"flap-right-1", "flap-right-2", "flap-left-1", "flap-left-2"}, ids(copies))
	require.Equal(t, "left flap 2", copies[3].ID())
}

// A pair of equal pieces that is sewn to a left and a right one has a left and
// a right too; one that is sewn to nothing such has numbers.
func TestEqualCopies(t *testing.T) {
	cuff := func(joins ...piece.Ref) *piece.Piece {
		return &piece.Piece{Name: "cuff", GrainDeg: 90, Count: 2, Outline: piece.Outline{
			{Name: "wrist", Line: curve.Polyline(orb.Point{0, 0}, orb.Point{200, 0}), Joins: joins},
			{Name: "end", Line: curve.Polyline(orb.Point{200, 0}, orb.Point{200, 60}, orb.Point{0, 60}, orb.Point{0, 0})},
		}}
	}
	front := frontPiece("front")
	require.Equal(t, []string{"cuff-left", "cuff-right"}, ids(split.Copies([]*piece.Piece{cuff(piece.Ref{Piece: "front", Edge: "hem"}), front}))[:2])
	require.Equal(t, []string{"cuff-1", "cuff-2"}, ids(split.Copies([]*piece.Piece{cuff(), front}))[:2])
}

// However the pieces are turned and mirrored on the page, whatever is sewn
// together at the shoulder, the side or the armhole is worn on one side, and
// parts of mirrored copies are called alike.
func TestSidesGoTogether(t *testing.T) {
	drawn := map[string][]*piece.Piece{}
	for _, name := range []string{"tshirt.svg", "cardigan.svg"} {
		for _, p := range sample(t, name) {
			if p.Copy == 1 {
				drawn[name] = append(drawn[name], p)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"tshirt.svg", "cardigan.svg"}).Draw(t, "pattern")
		var pieces []*piece.Piece
		flipped := map[string]bool{}
		for _, p := range drawn[name] {
			m := curve.Identity
			if flipped[p.Name] = rapid.Bool().Draw(t, "mirrored") && p.Mirrored; flipped[p.Name] {
				m = curve.Matrix{-1, 0, 0, 1, 0, 0}
			}
			pieces = append(pieces, turnedOver(p, m))
		}
		for _, c := range split.Copies(pieces) {
			if !c.Mirrored {
				continue
			}
			// As in the samples, each turned over once more by its drawing.
			left := c.Flipped != flipped[c.Name] == (c.Name == "sleeve")
			if want := map[bool]string{true: "left", false: "right"}[left]; c.Side != want {
				t.Fatalf("%s, flipped %v on a page where it is %v, is worn %s", c.Name, c.Flipped, flipped[c.Name], c.Side)
			}
			b := split.NewBody(c, c.Outline)
			near, far := split.SidesOf(split.Panel{}, b, split.CentreOf(b))
			f := b.Frame
			for _, e := range c.Outline {
				at, _ := e.Line.At(e.Line.Length() / 2)
				across, _ := f.Place(at)
				is := near
				if across > split.CentreOf(b) {
					is = far
				}
				want := map[string]string{"side": "outer", "armhole": "outer", "centre-front": "inner", "neck": "inner", "cap-front": "front", "cap-back": "back"}[e.Name]
				if want != "" && is != want {
					t.Fatalf("the %s of the %s is on the %s part", e.Name, c.ID(), is)
				}
			}
		}
	})
}

// A runs first, and each seam joins what is whole by then.
func TestLettersRunInSewingOrder(t *testing.T) {
	copies := sample(t, "cardigan.svg")
	p := &split.Plan{Pieces: copies}
	for _, c := range copies {
		tree, b := new(split.Tree), split.NewBody(c, c.Outline)
		if c.Name == "front" || c.Name == "back" {
			require.Equal(t, 1, tree.ByHand(c, split.Yoke{}, b.Lo[1]+300, 0))
			require.Equal(t, 2, tree.ByHand(c, split.Panel{}, b.Lo[0]+120, 0))
		}
		p.Trees = append(p.Trees, tree)
	}
	_, d := proved(t, p, copies)
	o := d.Options[0]
	require.Len(t, o.PiecingSeams, 9)
	sewn := map[string]string{} // each part to what it is part of by now
	root := func(x string) string {
		for sewn[x] != "" {
			x = sewn[x]
		}
		return x
	}
	for i, s := range o.PiecingSeams {
		require.Equal(t, split.Letter(i), s.Name)
		require.Contains(t, o.SewingOrder[i], "Sew "+s.Name+",")
		near := map[string]bool{}
		for _, part := range s.Parts {
			near[root(part)] = true
		}
		require.Len(t, near, 2, "seam %s joins two things that are whole by then: %v", s.Name, s.Parts)
		whole := fmt.Sprint("sewn ", s.Name)
		for part := range near {
			sewn[part] = whole
		}
	}
	names := map[string]bool{}
	for _, part := range o.Parts {
		require.False(t, names[part.Name], part.Name)
		names[part.Name] = true
	}
	for _, part := range []string{"front-left-upper-inner", "front-right-upper-inner", "front-left-lower-outer", "front-right-lower-outer", "back-lower-left"} {
		require.True(t, names[part], "%s of %v", part, names)
	}
}

// Parts on either side of a drawn line are called by how it lies, and never
// one and other.
func TestPartsOfADrawnLine(t *testing.T) {
	for name, c := range map[string]struct {
		piece string
		line  curve.Path
		want  []string
	}{
		"across":                {"back", curve.Polyline(orb.Point{-300, 300}, orb.Point{300, 330}), []string{"back-upper", "back-lower"}},
		"across, right to left": {"back", curve.Polyline(orb.Point{300, 300}, orb.Point{-300, 330}), []string{"back-lower", "back-upper"}},
		"down":                  {"back", curve.Polyline(orb.Point{20, -10}, orb.Point{10, 700}), []string{"back-right", "back-left"}},
		"up":                    {"front", curve.Polyline(orb.Point{120, 700}, orb.Point{120, -10}), []string{"front-left-inner", "front-left-outer", "front-right-outer", "front-right-inner"}},
	} {
		t.Run(name, func(t *testing.T) {
			copies := only(sample(t, "cardigan.svg"), c.piece)
			made, _ := proved(t, cutting(copies, c.piece, func(p *piece.Piece, tree *split.Tree) {
				box := p.Outline.Ring().Bound()
				drawn := orb.Point{box.Min[0], box.Min[1]}
				if p.Centre != nil {
					drawn[0] = p.Centre.A[0]
				}
				require.Equal(t, 1, tree.ByHand(p, &split.Drawn{Path: c.line.Transform(curve.Shift(drawn[0], drawn[1]))}, 0, 0))
			}), copies)
			var names []string
			for _, part := range made.Parts {
				names = append(names, part.Name)
			}
			require.Equal(t, c.want, names)
		})
	}
}
