package report

import (
	"fmt"
	"html/template"
	"math"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"eke/split/plan"
	"eke/svg/measure"

	"github.com/paulmach/orb"
)

// view is what the page says, in the order it says it.
type view struct {
	Title   string
	Style   template.CSS
	Cloths  template.HTML // the fill of each scrap, for the pictures
	Plan    *plan.Document
	Options []option
	Short   []plan.Short
	Partial *partial
	Notes   []string
	Scraps  int
	Pieces  int
	AtHand  []scrap  // the kinds of scrap that are cut into, and some others, uncut
	Unseen  []scrap  // the kinds that are not drawn
	Others  int      // scraps of these kinds
	Such    []string // the names of some

	NotChecked bool // a row of Short says so

	Without, Cure string // of the wishes that stand in the way, as WithoutUnkept has them
}

// LiningReport is the report beside the plan of the lining.
func (v *view) LiningReport() string { return path.Join(path.Dir(v.Plan.Lining), "report.html") }

// option is one plan for the whole pattern, worked out for reading.
type option struct {
	plan.Option
	Shows       []string // how the plan shows on the garment
	Looks       []look   // that it is cut from; none where there is but one
	Terms       []term   // what it costs
	Pictures    []picture
	SmallWidth  template.CSS // of the small ones together, for their height
	PictureNote string
	Parts       []part   // in the order they are cut
	Extra       []string // optional pieces that are cut
	Unlike      []string // those that are, whose copies have unlike looks
	NoRoom      []string // and those that are not
	Scraps      []scrap
	Placed      []placed
	Used        []string
	Rest        []left  // of the scraps that are cut into, and of others while these are few
	Others      []left  // scraps that are untouched
	OthersMM2   float64 // of all that are untouched
	LeftMM2     float64 // of the scraps that are cut into
	Total       float64
	AddedSeams  []seam
	Reasons     bool // some of them say why they are where they are
}

// ClothLeftMM2 is what is left of all scraps, as the table on the terminal has it.
func (o option) ClothLeftMM2() float64 { return o.LeftMM2 + o.OthersMM2 }

// picture is one view of the garment. Its markup is the draw package's own;
// names in it are escaped there.
type picture struct {
	Name       string
	SVG, Small template.HTML
	Percent    template.CSS // its share of the width that is to be filled
}

// look is cloth of one look, with a sample of how it is drawn.
type look struct {
	Name, Pieces string
	Swatches     []template.HTML
}

type part struct {
	Number  int
	Name    string
	Piece   string
	Scrap   string
	Letters string
	Size    string
	Side    string
	IsCut   bool
}

type seam struct {
	plan.PiecingSeam
	Joins   string
	Notches string
}

type left struct {
	Scrap     string
	AreaMM2   float64
	Untouched bool
	Bits      int
}

type scrap struct {
	Name    string
	Fabric  string
	Parts   []string
	Picture template.HTML
	Percent template.CSS // its share of the widest scrap's width
	Nap     bool
	Shrink  float64 // in percent, when it is washed
	Note    string
	Size    string
	Alike   int // how many there are
	Holes   int
}

func newView(d *plan.Document, u measure.Unit) (*view, error) {
	base := filepath.Base(filepath.FromSlash(d.Pattern))
	v := &view{Title: "Plan for " + plan.Plain(strings.TrimSuffix(base, filepath.Ext(base))), Plan: d, Scraps: len(d.Scraps), Pieces: len(d.Pieces), Notes: d.Notes}
	v.Without, v.Cure = d.WithoutUnkept()
	if d.Pattern == "" {
		v.Title = "Plan"
	}
	for _, s := range d.Short {
		s.Piece = plan.Plain(d.CopyName(s.Piece, s.Copy))
		v.Short = append(v.Short, s)
		v.NotChecked = v.NotChecked || s.NotChecked
	}
	part := d.PartialPlan()
	pictures, err := drawn(d, part, v.spread(d, u))
	if err != nil {
		return nil, err
	}
	v.Cloths = pictures.cloths
	for k, p := range pictures.scraps {
		v.AtHand[k].Picture, v.AtHand[k].Percent = p.svg, p.percent
	}
	if part != nil {
		v.Partial = newPartial(d, part, pictures.partial, u)
	}
	for i := range d.Options {
		v.Options = append(v.Options, newOption(d, i, &pictures.options[i], u))
	}
	return v, nil
}

func newOption(d *plan.Document, at int, pictures *optionPictures, u measure.Unit) option {
	o := option{Option: d.Options[at]}
	o.Extra, o.NoRoom = d.OptionalPieces(&o.Option)
	o.Unlike = d.UnlikeOptional(&o.Option)
	order := o.CuttingOrder()
	for n, i := range order {
		p := o.Option.Parts[i]
		o.Parts = append(o.Parts, part{
			Number: n + 1, Name: plan.Plain(p.Name), Piece: plan.Plain(d.CopyName(p.Piece, p.Copy)),
			Scrap: d.ScrapName(p.Scrap, p.ScrapCopy), Letters: letters(p), Size: extent(p.CutLine, p.GrainDeg, u), Side: side(p.Placement), IsCut: p.IsCut,
		})
	}
	for _, s := range o.PiecingSeams {
		o.AddedSeams = append(o.AddedSeams, seam{s, strings.Join(s.Parts, " to "), distances(s.NotchesMM, u)})
		o.Reasons = o.Reasons || s.Why != ""
	}
	o.Shows, o.Terms, o.Looks = shows(d, &o.Option, u), terms(o.Cost), pictures.looks
	for _, c := range o.Carried {
		if len(c.Seams) == 1 {
			continue
		}
		o.Shows = append(o.Shows, fmt.Sprintf("%s are one line, from piece to piece", plan.Plain(plan.And(c.Seams))))
	}
	for _, m := range o.MovedSeams {
		o.Shows = append(o.Shows, fmt.Sprintf("%s moved %s from the %s to the %s", joinName(&m), u.Fine(m.ByMM), m.From, m.To))
	}
	if len(o.Shows) == 0 {
		o.Shows = []string{"nothing: every piece is cut whole"}
	}
	for _, t := range o.Cost {
		o.Total += t.Points
	}
	o.leave(d)
	o.PictureNote, o.SmallWidth = pictures.note, pictures.wide
	for i, p := range pictures.garment {
		o.Pictures = append(o.Pictures, picture{p.name, p.svg, pictures.small[i], p.percent})
	}
	o.Placed = place(&o.Option, order, pictures, u)
	o.lay(d, order, pictures)
	return o
}

// clothOf is a scrap's fabric, and its look where that is another word.
func clothOf(s plan.Scrap) string {
	if s.Look == "" || strings.EqualFold(s.Look, s.Fabric) || s.Look == s.Name {
		return s.Fabric
	}
	if s.Fabric == "" {
		return "look " + s.Look
	}
	return s.Fabric + ", look " + s.Look
}

// lay tells the scraps that the option uses, with the parts on them.
func (o *option) lay(d *plan.Document, order []int, pictures *optionPictures) {
	for k, p := range pictures.laid {
		s := d.Scraps[pictures.scraps[k]]
		v := scrap{Name: p.name, Fabric: clothOf(s), Note: s.Note, Nap: s.Nap, Shrink: s.Shrink, Picture: p.svg, Percent: p.percent}
		for n, i := range order {
			if q := o.Option.Parts[i]; q.Scrap == s.Name && q.ScrapCopy == s.Copy {
				if q.IsCut {
					continue
				}
				v.Parts = append(v.Parts, fmt.Sprintf("no. %d %s", n+1, plan.Plain(q.Name)))
			}
		}
		o.Scraps = append(o.Scraps, v)
		o.Used = append(o.Used, p.name)
	}
}

// leave says what is left of each scrap, and of many that are untouched only
// what there is of them together.
func (o *option) leave(d *plan.Document) {
	const few = 12
	for _, l := range o.Option.Left {
		row := left{d.ScrapName(l.Scrap, l.Copy), l.AreaMM2, l.Untouched, l.Bits}
		if l.Untouched {
			o.Others = append(o.Others, row)
			o.OthersMM2 += l.AreaMM2
			continue
		}
		o.Rest = append(o.Rest, row)
		o.LeftMM2 += l.AreaMM2
	}
	if len(o.Others) <= few {
		o.Rest, o.Others = append(o.Rest, o.Others...), nil
	}
}

// spread tells the scraps at hand: those that an option cuts into, or that come
// closest to a piece that fits nowhere, and of the others no more than a page
// takes. It returns which of the plan's these are.
func (v *view) spread(d *plan.Document, u measure.Unit) (drawn []int) {
	const most, such = 24, 12
	wanted, alike := map[string]bool{}, map[string]int{}
	plans := d.Options
	if d.Partial != nil {
		plans = append(slices.Clone(plans), d.Partial.Option)
	}
	for _, o := range plans {
		for _, p := range o.Parts {
			wanted[p.Scrap] = true
		}
	}
	for _, s := range d.Short {
		wanted[s.Scrap] = true
	}
	for _, s := range d.Scraps {
		alike[s.Name]++
	}
	kinds := d.DistinctScraps()
	spare := most
	for _, i := range kinds {
		if wanted[d.Scraps[i].Name] {
			spare--
		}
	}
	for _, i := range kinds {
		s := d.Scraps[i]
		row := scrap{Name: plan.Plain(s.Name), Fabric: clothOf(s), Note: s.Note, Nap: s.Nap, Shrink: s.Shrink, Size: extent(s.Outline, s.GrainDeg, u), Alike: alike[s.Name], Holes: len(s.Holes)}
		switch {
		case wanted[s.Name]:
		case spare > 0:
			spare--
		default:
			v.Unseen, v.Others = append(v.Unseen, row), v.Others+row.Alike
			if len(v.Such) < such {
				v.Such = append(v.Such, row.Name)
			}
			continue
		}
		v.AtHand, drawn = append(v.AtHand, row), append(drawn, i)
	}
	return drawn
}

// letters names the piecing seams on a part's edges.
func letters(p plan.Part) string {
	var out []string
	for _, e := range p.Edges {
		if e.Seam != "" {
			out = append(out, plan.Plain(e.Seam))
		}
	}
	sort.Strings(out)
	return strings.Join(slices.Compact(out), ", ")
}

// extent is how large an outline of that grain is: length along the grain by
// width across it.
func extent(line []plan.Point, grainDeg float64, u measure.Unit) string {
	sin, cos := math.Sincos(grainDeg * math.Pi / 180)
	b := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, q := range line {
		b = b.Extend(orb.Point{q[0]*cos + q[1]*sin, q[1]*cos - q[0]*sin})
	}
	return u.Size(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1])
}

// unitWord is the unit that long lengths end with.
func unitWord(u measure.Unit) string {
	if u == measure.Inches {
		return "in"
	}
	return "cm"
}

func side(m [6]float64) string {
	if m[0]*m[3]-m[1]*m[2] < 0 {
		return "wrong side up"
	}
	return "right side up"
}

func distances(mm []float64, u measure.Unit) string {
	if len(mm) == 0 {
		return ""
	}
	var out []string
	for _, x := range mm {
		out = append(out, strings.TrimSuffix(u.Long(x), " "+unitWord(u)))
	}
	return strings.Join(out, ", ") + " " + unitWord(u)
}

// joinName is the name both edges of a join share, or the two:
// `shoulder seam` for `front/shoulder back/shoulder`.
func joinName(m *plan.MovedSeam) string {
	if from, to := m.Edges(); from != "" && from == to {
		return from + " seam"
	}
	return m.Words()
}
