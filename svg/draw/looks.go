package draw

import (
	"fmt"
	"slices"
	"strings"

	"eke/split/plan"
)

// Look is cloth of one look in an option, for the legend of its pictures.
type Look struct {
	Name     string
	Swatches []string // a small SVG for each way in which scraps of it are drawn, in a page that also holds Cloths
	Pieces   []string // what is cut from it, wholly or in part: all copies of a piece by its name, or single ones
}

// Looks are those of an option in the order of the plan's pieces, each as it is
// in all pictures. There is none where the list of scraps gives no look, or one
// alone is used.
func (p *Plan) Looks(option int) ([]Look, error) {
	o, err := p.option(option)
	if err != nil {
		return nil, err
	}
	const mostSwatches = 4
	of, _ := cloths(p.doc)
	var out []Look
	found := map[string]int{}
	copies := map[string]int{} // of a piece
	var cut []map[string][]int // of each look: the copies of a piece
	for _, piece := range p.doc.Pieces {
		copies[piece.Name]++
		for _, part := range o.parts {
			if part.Piece != piece.Name || part.Copy != piece.Copy {
				continue
			}
			i := slices.IndexFunc(p.doc.Scraps, func(s plan.Scrap) bool { return part.isFrom(&s) })
			if i < 0 {
				return nil, fmt.Errorf("part %q is cut from scrap %q (%d), which the plan does not have", part.Name, part.Scrap, part.ScrapCopy)
			}
			s := p.doc.Scraps[i]
			n, seen := found[lookOf(s)]
			if !seen {
				n = len(out)
				found[lookOf(s)] = n
				name := saidLook(s)
				if name == "" {
					name = s.Name
				}
				out, cut = append(out, Look{Name: plan.Plain(name)}), append(cut, map[string][]int{})
			}
			l := &out[n]
			if w := swatch(of[i]); !slices.Contains(l.Swatches, w) && len(l.Swatches) < mostSwatches {
				l.Swatches = append(l.Swatches, w)
			}
			if len(cut[n][piece.Name]) == 0 {
				l.Pieces = append(l.Pieces, piece.Name)
			}
			if !slices.Contains(cut[n][piece.Name], piece.Copy) {
				cut[n][piece.Name] = append(cut[n][piece.Name], piece.Copy)
			}
		}
	}
	if len(out) < 2 || !slices.ContainsFunc(p.doc.Scraps, func(s plan.Scrap) bool { return saidLook(s) != "" }) {
		return nil, nil
	}
	for n := range out {
		var pieces []string
		for _, name := range out[n].Pieces {
			if len(cut[n][name]) == copies[name] {
				pieces = append(pieces, plan.Plain(name))
				continue
			}
			for _, c := range cut[n][name] {
				pieces = append(pieces, plan.Plain(p.doc.CopyName(name, c)))
			}
		}
		out[n].Pieces = pieces
	}
	return out, nil
}

// swatch is a sample of a cloth.
func swatch(cloth int) string {
	return strings.Join([]string{`<svg class="swatch" viewBox="0 0 72 36" aria-hidden="true" focusable="false"><rect width="72" height="36" `, attribute("fill", clothFill(cloth)), `/></svg>`}, "")
}
