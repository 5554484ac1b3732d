package table

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"net/http"
	"strings"
	"time"

	"eke/cmd/words"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"
	"eke/split"
	"eke/split/byhand"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// What is made by hand, as the page has it. Lengths are in mm, angles in degrees
// clockwise, d is SVG path data.
type (
	handView struct {
		Stamp   string      `json:"stamp"`
		Units   string      `json:"units"` // that the page says lengths in: mm, cm or in
		Version int         `json:"version"`
		Undo    int         `json:"undo"`
		Redo    int         `json:"redo"`
		Copies  []copyView  `json:"copies"`
		Parts   []partView  `json:"parts"`
		Scraps  []clothView `json:"scraps"`
		Said    string      `json:"said"`
		Lost    string      `json:"lost,omitempty"`    // why the work is not kept when the table is put away
		Looking bool        `json:"looking,omitempty"` // some answers are AtMost: asked again, there are better ones
		Done    bool        `json:"done"`              // every part lies on cloth, and may be cut there
	}
	copyView struct {
		ID       int           `json:"id"`
		Name     string        `json:"name"`
		Label    string        `json:"label"`
		D        string        `json:"d"`
		Marks    string        `json:"marks"`
		Box      [4]float64    `json:"box"`
		Ways     []wayView     `json:"ways"`
		Shoulder *shoulderView `json:"shoulder,omitempty"`
		Lines    []lineView    `json:"lines"`
		Parts    []string      `json:"parts"`
	}
	axisView struct { // at grows along dir, from what lies level with zero
		Zero [2]float64 `json:"zero"`
		Dir  [2]float64 `json:"dir"`
	}
	wayView struct {
		axisView
		Way     string    `json:"way"`
		Name    string    `json:"name"`
		Along   bool      `json:"along"`
		Part    string    `json:"part"`
		From    float64   `json:"from"`
		To      float64   `json:"to"`
		Welcome []float64 `json:"welcome,omitempty"`
	}
	shoulderView struct {
		By   float64 `json:"by"`
		From float64 `json:"from"`
		To   float64 `json:"to"`
	}
	lineView struct {
		axisView
		ID     string  `json:"id"`
		Way    string  `json:"way"`
		Name   string  `json:"name"`
		Called string  `json:"called"`
		D      string  `json:"d"`
		At     float64 `json:"at"`
		From   float64 `json:"from"`
		To     float64 `json:"to"`
		Along  bool    `json:"along"`
		Part   string  `json:"part"`
	}
	partView struct {
		Name   string     `json:"name"`
		Copy   int        `json:"copy"`
		D      string     `json:"d"`
		Seam   string     `json:"seam"`
		Handle [2]float64 `json:"handle"`
		On     *layView   `json:"on"`
		Fits   []fitView  `json:"fits"`
	}
	layView struct {
		Scrap    int      `json:"scrap"`
		X        float64  `json:"x"`
		Y        float64  `json:"y"`
		Turn     float64  `json:"turn"`
		Mirrored bool     `json:"mirrored"` // the copy is the mirror image of what was drawn
		D        string   `json:"d"`
		OK       bool     `json:"ok"`
		Over     float64  `json:"over"`
		Laps     []string `json:"laps"`
		Why      string   `json:"why,omitempty"`
	}
	fitView struct {
		Scrap  int     `json:"scrap"`
		OK     bool    `json:"ok"`
		Over   float64 `json:"over,omitempty"`
		AtMost bool    `json:"atmost,omitempty"`
	}
	clothView struct {
		ID     int        `json:"id"`
		Name   string     `json:"name"`
		D      string     `json:"d"`
		Grain  string     `json:"grain"`
		Box    [4]float64 `json:"box"`
		Colour string     `json:"colour"`
	}
)

// answerHand answers with all that is made by hand, or says why something is not
// done.
func (b *bench) answerHand(w http.ResponseWriter, r *http.Request, err error) {
	var v *handView
	if err == nil {
		limit := wholeTime
		if r.URL.Query().Has("again") { // nobody waits for it
			limit = againTime
		}
		v, err = b.handView(r.Context(), limit)
	}
	if err != nil {
		if said := b.units.Text(err.Error()); said != err.Error() {
			err = errors.New(said)
		}
		answer(w, err)
		return
	}
	writeJSON(w, v)
}

func writeJSON(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(v)
}

func (b *bench) handView(ctx context.Context, limit time.Duration) (*handView, error) {
	work, _, err := b.byHand()
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	v := &handView{Stamp: b.hand.of, Units: b.units.String(), Version: b.handVersion, Said: b.units.Text(work.Said), Lost: b.handLost}
	plan := work.Plan
	v.Undo, v.Redo = work.Steps()
	b.mu.Unlock()
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	for i, c := range plan.Copies() {
		v.Copies = append(v.Copies, viewOfCopy(plan, i, c))
	}
	parts := plan.Parts()
	v.Parts = viewOfParts(ctx, plan, parts, (*byhand.Part).Path)
	v.Done = true
	for _, p := range v.Parts {
		v.Done = v.Done && p.On != nil && p.On.OK
		for _, f := range p.Fits {
			v.Looking = v.Looking || f.AtMost
		}
	}
	v.Scraps = viewOfCloth(plan.Given())
	return v, nil
}

func viewOfCopy(plan *byhand.Plan, i int, c *piece.Piece) copyView {
	v := copyView{ID: i, Name: c.Name, Label: words.Plain(strings.ToUpper(c.ID()[:1]) + c.ID()[1:]), D: closed(c.Outline.Path()), Marks: marksOf(c), Box: boxOf(c.Outline.Ring().Bound()), Ways: []wayView{}, Lines: []lineView{}}
	for _, w := range plan.Choices(i) {
		one := wayView{axisView: viewOfAxis(plan.Axis(i, w.Way)), Way: w.Key, Name: w.Name, Along: w.Along(), Part: w.Part, From: tenth(w.FromMM), To: tenth(w.ToMM)}
		for _, l := range w.WelcomeMM {
			one.Welcome = append(one.Welcome, tenth(l))
		}
		v.Ways = append(v.Ways, one)
	}
	if s, ok := plan.Shoulder(i); ok {
		v.Shoulder = &shoulderView{tenth(s.ByMM), tenth(s.FromMM), tenth(s.ToMM)}
	}
	for _, l := range plan.Lines(i) {
		v.Lines = append(v.Lines, viewOfLine(plan, l))
	}
	for _, p := range plan.PartsOf(i) {
		v.Parts = append(v.Parts, p.Name)
	}
	return v
}

func viewOfAxis(a byhand.Axis) axisView {
	return axisView{[2]float64{tenth(a.Zero[0]), tenth(a.Zero[1])}, [2]float64{math.Round(a.Dir[0]*1e4) / 1e4, math.Round(a.Dir[1]*1e4) / 1e4}}
}

func viewOfLine(plan *byhand.Plan, l byhand.Line) lineView {
	d := ""
	for _, p := range l.Paths {
		d += p.D()
	}
	return lineView{
		axisView: viewOfAxis(plan.AxisOf(l)), ID: l.ID, Way: l.Way.Key, Name: l.Way.Name, Called: l.Called, D: d, At: tenth(l.AtMM), From: tenth(l.FromMM), To: tenth(l.ToMM),
		Along: l.Way.Along(), Part: plan.Copies()[l.Copy].CopyName(),
	}
}

// cutLine is how a cutting line is drawn: Part.Path, or Part.Polygon where there is no
// time for curves.
type cutLine func(*byhand.Part) curve.Path

// viewOfParts looks at parts on every scrap, as far as there is time.
func viewOfParts(ctx context.Context, plan *byhand.Plan, parts []*byhand.Part, line cutLine) []partView {
	out := make([]partView, len(parts))
	for i, p := range parts {
		out[i] = partView{Name: p.Name, Copy: p.Copy, D: closed(line(p)), Seam: closed(p.Outline.Path()), Handle: [2]float64{tenth(p.Handle[0]), tenth(p.Handle[1])}, Fits: []fitView{}}
		if l, ok := plan.On(p); ok {
			out[i].On = viewOfLay(p, l, line)
		}
	}
	for i, all := range plan.Fits(ctx, parts) {
		for _, f := range all {
			out[i].Fits = append(out[i].Fits, fitView{f.Scrap, f.OK, tenthUp(f.OverMM), f.AtMost})
		}
	}
	return out
}

func viewOfLay(p *byhand.Part, l byhand.Lay, line cutLine) *layView {
	v := &layView{Scrap: l.Scrap, X: l.At[0], Y: l.At[1], Turn: l.TurnDeg, Mirrored: p.Of.Flipped, D: closed(line(p).Transform(curve.Matrix(l.Where.Matrix()))), OK: l.OK, Over: tenthUp(l.OverMM), Laps: l.Laps, Why: l.Why}
	if v.Laps == nil {
		v.Laps = []string{}
	}
	return v
}

func viewOfCloth(g *byhand.Given) (out []clothView) {
	r := split.Record{Scraps: g.Scraps()}
	colours := draw.Colours(r.Document())
	for i, s := range g.Scraps() {
		v := clothView{ID: i, Name: s.ID(), Box: boxOf(s.Outline.Bound()), Colour: colours[i], Grain: grainOf(s.Outline.Bound(), s.GrainDeg)}
		for _, ring := range append([]orb.Ring{s.Outline}, s.Holes...) {
			v.D += closed(curve.Polyline(append(append(orb.Ring{}, ring...), ring[0])...))
		}
		out = append(out, v)
	}
	return out
}

// tryHand says what would be if a line or a part were elsewhere. It changes nothing.
func (b *bench) tryHand(w http.ResponseWriter, r *http.Request) {
	_, plan, err := b.byHand()
	if err != nil {
		answer(w, err)
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), liveTime)
	defer cancel()
	v, err := tried(ctx, plan, form{r.URL.Query()})
	if err != nil {
		answer(w, err)
		return
	}
	writeJSON(w, v)
}

// tryLine is the answer about a line, tryPart about a part.
type (
	tryLine struct {
		Copy  int        `json:"copy"`
		Line  lineView   `json:"line"`
		Parts []partView `json:"parts"`
	}
	tryPart struct {
		On   *layView `json:"on"`
		OK   bool     `json:"ok"`
		Over float64  `json:"over"`
		Laps []string `json:"laps"`
	}
)

func tried(ctx context.Context, plan *byhand.Plan, f form) (any, error) {
	switch {
	case f.Has("part"):
		name, spot, err := f.spot(true)
		if err != nil {
			return nil, err
		}
		part, lay, err := plan.Try(ctx, name, spot)
		if err != nil {
			return nil, err
		}
		on := viewOfLay(part, lay, (*byhand.Part).Path)
		return tryPart{on, on.OK, on.Over, on.Laps}, nil
	case f.Has("line"):
		at, err := f.number("at")
		if err != nil {
			return nil, err
		}
		now, err := plan.Moved(f.Get("line"), at)
		if err != nil {
			return nil, err
		}
		l := lineOf(now, f.Get("line"))
		if l.ID == "" { // a shoulder seam put back
			l = lineOf(plan, f.Get("line"))
			l.AtMM = 0
		}
		return viewOfTry(ctx, plan, now, l), nil
	case f.Has("by"):
		copy, err := copyAsked(plan, f)
		if err != nil {
			return nil, err
		}
		by, err := f.number("by")
		if err != nil {
			return nil, err
		}
		now, err := plan.WithShoulder(copy, by)
		if err != nil {
			return nil, err
		}
		l := byhand.Line{Copy: copy}
		for _, one := range now.Lines(copy) {
			if one.Way.Key == byhand.ShoulderKey {
				l = one
			}
		}
		return viewOfTry(ctx, plan, now, l), nil
	}
	return nil, errors.New("say which line, part or shoulder to try")
}

// viewOfTry is a line in another place, with the parts that are others for it.
func viewOfTry(ctx context.Context, was, now *byhand.Plan, l byhand.Line) tryLine {
	return tryLine{l.Copy, viewOfLine(now, l), viewOfParts(ctx, now, now.Changed(was), (*byhand.Part).Polygon)}
}

// tenth is a length to a tenth of a millimetre.
func tenth(mm float64) float64 { return math.Round(mm*10) / 10 }

// tenthUp is what something hangs off by, to a tenth of a millimetre up: nothing that
// does not fit is told to hang off by nothing.
func tenthUp(mm float64) float64 { return math.Ceil(mm*10-1e-6) / 10 }

func boxOf(b orb.Bound) [4]float64 {
	return [4]float64{tenth(b.Min[0]), tenth(b.Min[1]), tenth(b.Max[0]), tenth(b.Max[1])}
}

func closed(p curve.Path) string {
	if len(p) == 0 {
		return ""
	}
	return p.D() + "Z"
}

// marksOf is the grainline and the darts of a piece.
func marksOf(p *piece.Piece) string {
	d := grainOf(p.Outline.Ring().Bound(), p.GrainDeg)
	for _, t := range p.Darts {
		d += curve.Polyline(t.Leg1, t.Apex, t.Leg2).D()
	}
	for _, f := range p.FishEyes {
		c := f.Corners()
		d += closed(curve.Polyline(c[:]...))
	}
	return d
}

// grainOf is a grainline through the middle of a box.
func grainOf(box orb.Bound, deg float64) string {
	w, h := size(box)
	sin, cos := math.Sincos(deg * math.Pi / 180)
	reach := orb.Point{0.22 * math.Min(w, h) * cos, 0.22 * math.Min(w, h) * sin}
	return curve.Polyline(plane.Sub(box.Center(), reach), plane.Add(box.Center(), reach)).D()
}
