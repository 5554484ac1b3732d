package table

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"eke/allowance"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"
	"eke/svg/draw"
	"eke/svg/measure"

	"github.com/paulmach/orb"
)

// pieceView is a piece of the pattern as it was read.
type pieceView struct {
	Name    string
	Picture template.HTML
	Share   template.CSS // of the width of the widest
	Facts   []string
	Says    []string // notes and warnings about it
	Many    bool
}

// pieceViews draws the pieces of a pattern, all to one scale.
func pieceViews(pieces []*piece.Piece, u measure.Unit) []pieceView {
	widest := 1.0
	boxes := make([]orb.Bound, len(pieces))
	for i, p := range pieces {
		boxes[i] = p.Outline.Ring().Bound().Pad(12)
		w, h := size(boxes[i])
		widest = math.Max(widest, math.Max(w, h/1.4))
	}
	var out []pieceView
	for i, p := range pieces {
		v := pieceView{Name: p.Name, Many: p.Count > 1}
		cut, err := allowance.CutPathPiece(p)
		if err != nil {
			v.Says = append(v.Says, err.Error())
		}
		w, _ := size(boxes[i])
		v.Picture = drawPiece(p, cut, boxes[i])
		v.Share = template.CSS(fmt.Sprintf("--share:%.4f", w/widest))
		inside := p.Outline.Ring().Bound()
		w, h := size(inside)
		v.Facts = append(v.Facts, "seam line "+u.Size(h, w))
		switch {
		case p.Ready:
			v.Facts = append(v.Facts, "cut already")
		case p.Count > 1 && p.Mirrored:
			v.Facts = append(v.Facts, fmt.Sprintf("cut %d, half of them mirrored", p.Count))
		default:
			v.Facts = append(v.Facts, fmt.Sprintf("cut %d", max(1, p.Count)))
		}
		if len(p.Fabrics) > 0 {
			v.Facts = append(v.Facts, "from "+strings.Join(p.Fabrics, " or "))
		}
		if p.Kind != "" {
			v.Facts = append(v.Facts, p.Kind)
		}
		if p.Optional {
			v.Facts = append(v.Facts, "optional")
		}
		var sewn []string
		for _, e := range p.Outline {
			for _, j := range e.Joins {
				if one := fmt.Sprintf("%s to %s", e.Name, j); !slices.Contains(sewn, one) {
					sewn = append(sewn, one)
				}
			}
		}
		if len(sewn) > 0 {
			v.Facts = append(v.Facts, "sewn "+strings.Join(sewn, ", "))
		}
		for _, s := range p.Notes {
			v.Says = append(v.Says, u.Text(s))
		}
		for _, s := range p.Warnings {
			v.Says = append(v.Says, u.Text(s))
		}
		out = append(out, v)
	}
	return out
}

func size(b orb.Bound) (w, h float64) { return b.Max[0] - b.Min[0], b.Max[1] - b.Min[1] }

// drawPiece draws one piece. It holds no text from the file but its name, escaped.
func drawPiece(p *piece.Piece, cut curve.Path, box orb.Bound) template.HTML {
	if len(cut) > 0 {
		box = box.Union(cut.Bound().Pad(2))
	}
	w, h := size(box)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg role="img" aria-label="%s, drawn" viewBox="%.2f %.2f %.2f %.2f">`, template.HTMLEscapeString(p.Name), box.Min[0], box.Min[1], w, h)
	line := func(class string, path curve.Path, close bool) {
		if len(path) == 0 {
			return
		}
		end := ""
		if close {
			end = " Z"
		}
		fmt.Fprintf(&b, `<path class="%s" d="%s%s"/>`, class, path.D(), end)
	}
	line("laid-part", cut, true)
	line("drawn-seam", p.Outline.Path(), true)
	for _, k := range p.Keeps {
		line("drawn-keep", k.Line, k.Closed)
	}
	for _, l := range p.Levels {
		line("drawn-level", l, false)
	}
	for _, d := range p.Darts {
		line("drawn-seam", curve.Polyline(d.Leg1, d.Apex, d.Leg2), false)
	}
	for _, f := range p.FishEyes {
		c := f.Corners()
		line("drawn-seam", curve.Polyline(c[:]...), true)
	}
	for _, e := range p.Outline {
		for _, n := range e.Notches {
			at, dir := e.Line.At(n.AtMM)
			in := orb.Point{-dir[1] * 4, dir[0] * 4}
			line("drawn-notch", curve.Polyline(plane.Sub(at, in), plane.Add(at, in)), false)
		}
	}
	c, reach := box.Center(), 0.22*math.Min(w, h)
	sin, cos := math.Sincos(p.GrainDeg * math.Pi / 180)
	tip := func(s float64) orb.Point { return orb.Point{c[0] + s*reach*cos, c[1] + s*reach*sin} }
	line("laid-grain", curve.Polyline(tip(-1), tip(1)), false)
	for _, s := range []float64{-1, 1} {
		t, back := tip(s), tip(s*0.8)
		side := orb.Point{-sin * reach * 0.1, cos * reach * 0.1}
		line("laid-tip", curve.Polyline(t, plane.Add(back, side), plane.Sub(back, side)), true)
	}
	b.WriteString("</svg>")
	return template.HTML(b.String())
}

// scrapView is a scrap as it was read; several of one kind are shown once.
type scrapView struct {
	Name    string
	Picture template.HTML
	Share   template.CSS
	Facts   []string
	Says    []string
	Scrap   *piece.Scrap
	TurnDeg string // of the grain from upright
}

// scrapViews draws scraps to one scale, with the fills that they need.
func scrapViews(pile []piece.Scrap, prefix string, u measure.Unit) (views []scrapView, cloths template.HTML, err error) {
	r := split.Record{Scraps: split.ScrapCopies(pile)}
	d := r.Document()
	p := draw.Of(d)
	var first []int
	at := 0
	for i := range pile {
		first = append(first, at)
		at += max(1, pile[i].Count)
	}
	pictures, err := p.Scraps(first)
	if err != nil {
		return nil, "", err
	}
	// The page may hold the pictures of another pile, with other fills.
	own := strings.NewReplacer("url(#cloth-", "url(#"+prefix, `id="cloth-`, `id="`+prefix)
	var fills strings.Builder
	if err := p.Cloths(&fills, first); err != nil {
		return nil, "", err
	}
	widest := 1.0
	for _, q := range pictures {
		widest = math.Max(widest, math.Max(q.WidthMM, q.HeightMM/1.4))
	}
	for i := range pile {
		s := &pile[i]
		w, h := size(s.Outline.Bound())
		v := scrapView{Name: s.Name, Picture: template.HTML(own.Replace(pictures[i].SVG)), Share: template.CSS(fmt.Sprintf("--share:%.4f", pictures[i].WidthMM/widest))}
		v.Scrap, v.TurnDeg = s, turnOf(s.GrainDeg)
		v.Facts = append(v.Facts, u.Size(h, w))
		add := func(when bool, fact string) {
			if when && fact != "" {
				v.Facts = append(v.Facts, fact)
			}
		}
		add(s.Count > 1, fmt.Sprintf("%d alike", s.Count))
		add(true, s.Fabric)
		add(s.Look != "" && s.Look != s.Fabric, "look "+s.Look)
		add(true, s.Kind)
		add(s.Nap, "with nap")
		add(s.BothFaces, "both faces may be the right side")
		add(s.Use == piece.UseLining, "for the lining")
		add(s.Shrink > 0, fmt.Sprintf("shown washed, %g %% smaller", s.Shrink))
		add(len(s.Holes) == 1, "1 hole or flaw")
		add(len(s.Holes) > 1, fmt.Sprintf("%d holes or flaws", len(s.Holes)))
		add(true, s.Note)
		for _, n := range s.Notes {
			v.Says = append(v.Says, u.Text(n))
		}
		views = append(views, v)
	}
	return views, template.HTML(own.Replace(fills.String())), nil
}
