package plan

import (
	"fmt"
	"slices"
	"strings"
)

// Cloth is what some pieces need and what is held for them. Cloth that pieces
// of several rows may come from is counted in each; the row of all pieces
// counts it once.
type Cloth struct {
	Pieces    []string `json:"pieces"`
	All       bool     `json:"all,omitempty"`    // of the pattern
	Fabric    string   `json:"fabric,omitempty"` // "navy or cream"; empty where any will do
	NeededMM2 float64  `json:"needed_mm2"`       // with allowances, before any piecing seam
	HeldMM2   float64  `json:"held_mm2"`         // of the scraps they may be cut from
	Held      []Held   `json:"held,omitempty"`   // the same, by fabric and kind
}

// Held is cloth at hand of one fabric and kind.
type Held struct {
	Fabric  string  `json:"fabric,omitempty"`
	Kind    string  `json:"kind,omitempty"`
	AreaMM2 float64 `json:"area_mm2"`
}

// Seams is how many seams a plan would add that has more of them than were
// allowed. Such a plan was found and proved.
type Seams struct {
	Allowed  int     `json:"allowed"`
	Seams    int     `json:"seams"`
	LengthMM float64 `json:"length_mm"`
}

// Unkept is a wish that stands in the way of a plan: why, as far as it is known, and
// the best plan that was found and proved without it.
type Unkept struct {
	Text    string `json:"text"`
	Why     string `json:"why,omitempty"`
	Without *Seams `json:"without,omitempty"`
}

// WithoutUnkept is what there is a plan without, in words, and how to have it: the wish
// that stands in the way, or all of them where they do so together. Wishes of a plan
// that was gone on from hold on, until they are made again as points.
func (d *Document) WithoutUnkept() (without, cure string) {
	without, cure = "it", "ask for it without the wish"
	points := ", and it is no must"
	if len(d.Unkept) > 1 {
		without, cure = "all of these", "ask for it without these wishes"
		points = ", and they are no musts"
	}
	if d.After == "" {
		return without, cure
	}
	var again []string
	for _, u := range d.Unkept {
		again = append(again, fmt.Sprintf("--wish %q", "prefer "+u.Text))
	}
	return without, "give " + strings.Join(again, " ") + points
}

// Words says it in a sentence.
func (u *Unkept) Words() string {
	words := fmt.Sprintf("no plan was found that keeps the wish %q", u.Text)
	if u.Why != "" {
		words += ": " + u.Why
	}
	return words
}

// Partial is a plan for some of the pieces, where none for all was found. It
// is proved as any plan is.
type Partial struct {
	Option   Option   `json:"option"`
	LeftOver []CopyOf `json:"left_over"`
}

// CopyOf is one copy of a piece.
type CopyOf struct {
	Piece string `json:"piece"`
	Copy  int    `json:"copy"`
}

// Wanted is cloth with which, beside the scraps at hand, a plan for all pieces
// was found and proved.
type Wanted struct {
	Cloth []Rectangle `json:"cloth"`
	Seams int         `json:"seams"` // that the plan adds
}

// Rectangle is cloth of at least that size.
type Rectangle struct {
	Fabric   string  `json:"fabric,omitempty"` // empty where any will do
	Kind     string  `json:"kind,omitempty"`
	LengthMM float64 `json:"length_mm"` // along the grain
	WidthMM  float64 `json:"width_mm"`
}

// Name is the cloth in words: "navy knit".
func (h Held) Name() string { return clothName(h.Fabric, h.Kind, "no fabric named") }

// Name is the cloth in words: "navy knit".
func (r Rectangle) Name() string { return clothName(r.Fabric, r.Kind, "any fabric") }

func clothName(fabric, kind, none string) string {
	switch {
	case fabric == "" && kind == "":
		return "cloth, " + none
	case fabric == "":
		return kind + ", " + none
	case kind == "" || strings.Contains(strings.ToLower(fabric), strings.ToLower(kind)):
		return fabric
	}
	return fabric + " " + kind
}

// Together says that pieces lack nothing one by one, and which of them no way was
// found to cut together: those that ask for the cloth that a partial plan leaves
// something over of. It is empty where a piece does lack something, or that is not
// known.
func (d *Document) Together() string {
	alone := "each piece fits some scrap by itself"
	if !d.FitAlone {
		alone = "each piece can be cut by itself, with a seam where the table says so"
		for i, s := range d.Short {
			whole := s.Split == "" && !s.NotChecked && s.Scrap != ""
			if whole && i+1 < len(d.Short) && d.Short[i+1].Piece == s.Piece && d.Short[i+1].lacksNothing() {
				continue
			}
			if !s.lacksNothing() {
				return ""
			}
		}
		if len(d.Short) == 0 {
			return ""
		}
	}
	which := "all of them together"
	if rows, some := d.short(); len(rows) > 0 && some {
		which = "these together: " + strings.Join(rows, "; ")
	}
	return alone + ", but no way was found to cut " + which
}

// lacksNothing reports whether a row is of a split that was found to do.
func (s *Short) lacksNothing() bool {
	return s.Split != "" && !s.NotChecked && s.Scrap != "" && s.AlongMM == 0 && s.AcrossMM == 0
}

// short are the rows of cloth that a partial plan leaves a piece over of, in words.
// Some are not all of them.
func (d *Document) short() (rows []string, some bool) {
	if d.Partial == nil {
		return nil, false
	}
	for _, c := range d.Cloth {
		switch {
		case c.All:
		case !slices.ContainsFunc(d.Partial.LeftOver, func(l CopyOf) bool { return slices.Contains(c.Pieces, l.Piece) }):
			some = true
		case c.Fabric == "":
			rows = append(rows, Plain(strings.Join(c.Pieces, ", ")))
		default:
			rows = append(rows, Plain(strings.Join(c.Pieces, ", ")+", from "+c.Fabric))
		}
	}
	return rows, some
}

// PartialPlan is the document of the partial plan alone: its pieces, all
// scraps, and it as the only option. It is nil where there is none. Optional pieces
// and those that are cut already are none of its pieces.
func (d *Document) PartialPlan() *Document {
	if d.Partial == nil {
		return nil
	}
	part := *d
	part.Pieces, part.Options = nil, []Option{d.Partial.Option}
	part.Short, part.Cloth, part.MoreSeams, part.Partial, part.WouldDo, part.Unkept = nil, nil, nil, nil, nil, nil
	for _, p := range d.Pieces {
		if !p.Optional && !p.Ready && !slices.Contains(d.Partial.LeftOver, CopyOf{p.Name, p.Copy}) {
			part.Pieces = append(part.Pieces, p)
		}
	}
	return &part
}
