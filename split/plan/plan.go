// Package plan is plan.json as Go values: what a run of eke found, in a form
// that anyone can read, draw from or check without eke. Everything a part needs
// to be drawn true to size, curves included, is here, so drawing and proving
// need nothing of the search.
//
// A Document holds the pieces and the scraps once, and then the options: plans
// to choose from, the best first. Where there is no plan it has no options, and
// says what is missing instead.
//
// Lengths are in mm; x is to the right, y down; angles are in degrees clockwise
// from +x. A polygon is a list of points without a closing repeat; a matrix is
// SVG's [a b c d e f]. A part has the coordinates of its piece; its placement
// takes them to those of its scrap.
//
// Read refuses what is no plan.json of this format, or far too large. It does
// not look at what the numbers mean: split/check does.
package plan

import (
	"encoding/json"
	"io"
	"strings"
)

// Format is the first field of every plan.json.
const Format = "eke-plan/1"

// Point is [x, y] in mm.
type Point = [2]float64

// Document is one plan.json.
type Document struct {
	Format string `json:"format"`
	MadeBy string `json:"made_by,omitempty"` // set by Write
	Settings
	Pattern      string   `json:"pattern"` // the files it came from
	ScrapFiles   []string `json:"scrap_files,omitempty"`
	Pieces       []Piece  `json:"pieces"`
	Scraps       []Scrap  `json:"scraps"`
	Options      []Option `json:"options"`
	Short        []Short  `json:"short,omitempty"`
	FitAlone     bool     `json:"fit_alone,omitempty"` // with no option: each piece was checked, and fits some scrap by itself
	Cloth        []Cloth  `json:"cloth,omitempty"`     // with no option: what the pieces need and what is held
	MoreSeams    *Seams   `json:"more_seams,omitempty"`
	Partial      *Partial `json:"partial,omitempty"`
	WouldDo      []Wanted `json:"would_do,omitempty"`
	Unkept       []Unkept `json:"unkept,omitempty"`
	Fewest       bool     `json:"fewest"`                  // no plan with fewer seams exists in the kinds of seam tried
	FewestReason string   `json:"fewest_reason,omitempty"` // why, or how far the search got
	AtLeast      *AtLeast `json:"at_least,omitempty"`      // the proof of it, where that took a search
	Warnings     []string `json:"warnings,omitempty"`      // what of the pattern cannot be sewn well as it was drawn
	Notes        []string `json:"notes,omitempty"`
	Lining       string   `json:"lining,omitempty"`    // the file with the plan of the lining, from this one's folder
	OfLining     []string `json:"of_lining,omitempty"` // those of the notes that are on how the pattern of a lining was made
	After        string   `json:"after,omitempty"`     // the folder of the option that it goes on from
}

// Settings are what a plan was asked for with.
type Settings struct {
	GapMM             float64 `json:"gap_mm"` // between cutting lines on one scrap
	GrainToleranceDeg float64 `json:"grain_tolerance_deg"`
	AllowanceMM       float64 `json:"allowance_mm"`            // of a piecing seam
	DartReachMM       float64 `json:"dart_reach_mm,omitempty"` // how far a dart may be moved for a seam to take it in
	Seed              uint64  `json:"seed"`
}

// Piece is one copy of a pattern piece, whole, as drawn.
type Piece struct {
	Name     string  `json:"name"`
	Copy     int     `json:"copy"`
	SeamLine []Point `json:"seam_line"`
	GrainDeg float64 `json:"grain_deg"`
	Fabric   string  `json:"fabric"`
	Kind     string  `json:"kind,omitempty"`     // "knit" or "woven", where it is to be one of them
	Use      string  `json:"use,omitempty"`      // "lining" for a piece of the lining
	Optional bool    `json:"optional,omitempty"` // an option need not cut it: it then has no parts of it
	Ready    bool    `json:"ready,omitempty"`    // it is cut already, and no option has parts of it
	Flipped  bool    `json:"flipped,omitempty"`  // the mirror image of the drawing
	Side     string  `json:"side,omitempty"`     // of several copies, "left" or "right" of the body as worn, where it is known
	Edges    []Edge  `json:"edges,omitempty"`
	Notches  []Notch `json:"notches,omitempty"` // as drawn; each is on a part in every option

	Darts    [][3]Point `json:"darts,omitempty"`         // leg, apex, leg
	FishEyes [][4]Point `json:"fisheye_darts,omitempty"` // of two points: apex, wide, apex, wide
}

// Scrap is one copy of a scrap.
type Scrap struct {
	Name     string    `json:"name"`
	Copy     int       `json:"copy"`
	Outline  []Point   `json:"outline"`
	Holes    [][]Point `json:"holes,omitempty"`
	GrainDeg float64   `json:"grain_deg"`
	Nap      bool      `json:"nap"`
	Face     string    `json:"face"` // "one" or "both"
	Fabric   string    `json:"fabric,omitempty"`
	Kind     string    `json:"kind,omitempty"`
	Look     string    `json:"look,omitempty"`           // what the eye takes it for
	Use      string    `json:"use,omitempty"`            // "lining" for cloth that no other piece is cut from
	Shrink   float64   `json:"shrink_percent,omitempty"` // when it is washed; the outline is as it is then
	Colour   string    `json:"colour,omitempty"`
	Note     string    `json:"note,omitempty"`
	SavedOf  string    `json:"saved_of,omitempty"` // the spoilt part that it is a rest of; it stands in no scraps file

	StripeMM   float64 `json:"stripe_mm,omitempty"`   // of striped cloth, from one stripe to the next one like it
	FirstMM    float64 `json:"first_mm,omitempty"`    // from the top of the outline to the middle of the first, or from the left where that is level
	StripeRuns string  `json:"stripe_runs,omitempty"` // "across" the grain or "along" it
}

// Option is one plan for the whole pattern.
type Option struct {
	Rank         int           `json:"rank"`
	Seams        int           `json:"seams"`
	SeamLengthMM float64       `json:"seam_length_mm"`
	Intrusion    float64       `json:"intrusion"`
	Cost         []Term        `json:"cost"` // adds up to Intrusion
	Parts        []Part        `json:"parts"`
	PiecingSeams []PiecingSeam `json:"piecing_seams"`
	MovedSeams   []MovedSeam   `json:"moved_seams,omitempty"`
	Moved        []MovedPiece  `json:"moved_pieces,omitempty"`
	Joins        []Join        `json:"joins,omitempty"`
	SewingOrder  []string      `json:"sewing_order,omitempty"` // a sentence a step
	WaistStep    int           `json:"-"`                      // the step of SewingOrder that takes in the waist, from 1; 0 for none, and once it was written
	Wear         []string      `json:"wear,omitempty"`         // where piecing seams may be felt when it is worn
	Left         []Left        `json:"left,omitempty"`
	DartsTakenIn int           `json:"darts_taken_in,omitempty"`
	Divided      []DividedDart `json:"divided_darts,omitempty"`
	Trued        []Trued       `json:"trued,omitempty"`
	Notes        []string      `json:"notes,omitempty"`
	Wishes       []Wish        `json:"wishes,omitempty"`
	BestLooking  string        `json:"best_looking,omitempty"` // why it is the best-looking option
	Carried      []Carried     `json:"carried,omitempty"`
	Stripes      *Stripes      `json:"stripes,omitempty"`
	Blocks       *Blocks       `json:"blocks,omitempty"`
	StripeMatch  *StripeMatch  `json:"stripe_match,omitempty"`
	StuffingMM2  float64       `json:"stuffing_mm2"`      // of what is left, bits too small to cut anything from
	Gives        []Gives       `json:"gives,omitempty"`   // what the pile still gives after it, by fabric
	Spoilt       []Part        `json:"spoilt,omitempty"`  // parts of earlier plans whose cloth is gone, where they lay
	Changes      []string      `json:"changes,omitempty"` // against the option that it goes on from
}

// Wish is what the maker wished of the plan, and what became of it.
type Wish struct {
	Text string `json:"text"`
	Kept bool   `json:"kept"`
	How  string `json:"how"`
}

// Term is a line of the cost as the report shows it.
type Term struct {
	Name   string  `json:"name"`
	Detail string  `json:"detail,omitempty"`
	Points float64 `json:"points"`
}

// Part is a piece, or what a piece becomes after it is split. SeamLine,
// CutLine, Edges and Notches are in its piece's own coordinates. CutD is
// CutLine as SVG path data, closed: straight beside straight edges, and curves
// within 0.05 mm beside curves; it is what is drawn.
type Part struct {
	Name            string     `json:"name"`
	Piece           string     `json:"piece"`
	Copy            int        `json:"copy"`
	SeamLine        []Point    `json:"seam_line"`
	CutLine         []Point    `json:"cut_line"`
	CutD            string     `json:"cut_d,omitempty"`
	Notches         []Notch    `json:"notches"`
	Scrap           string     `json:"scrap"`
	Look            string     `json:"look,omitempty"` // of the scrap
	ScrapCopy       int        `json:"scrap_copy"`
	Placement       [6]float64 `json:"placement"`
	GrainDeg        float64    `json:"grain_deg"`
	Edges           []Edge     `json:"edges"`
	Darts           [][3]Point `json:"darts,omitempty"`                 // leg, apex, leg
	FishEyes        [][4]Point `json:"fisheye_darts,omitempty"`         // apex, wide, apex, wide
	DartLegs        [][2]Point `json:"dart_legs,omitempty"`             // of darts that a seam divides, as far as they are on the part
	Crossed         [][3]Point `json:"darts_crossed,omitempty"`         // the darts that those legs are of: where they lie when seen from the part
	FishEyesCrossed [][4]Point `json:"fisheye_darts_crossed,omitempty"` // those with two points, likewise
	Flipped         bool       `json:"flipped,omitempty"`
	IsCut           bool       `json:"cut,omitempty"` // the shears have been round it: it stays as it is, where it is
}

// Edge is a stretch of a seam line with one name and one allowance. D is SVG
// path data, curves kept; edges follow one another clockwise on the page.
type Edge struct {
	Name        string   `json:"name,omitempty"`
	Seam        string   `json:"seam,omitempty"` // the letter of the piecing seam it is one side of
	Joins       []string `json:"joins,omitempty"`
	AllowanceMM float64  `json:"allowance_mm"`
	LengthMM    float64  `json:"length_mm"`
	Ease        string   `json:"ease,omitempty"` // by how much it may differ from what it is sewn to: "60mm", "12%"
	D           string   `json:"d"`
	From        string   `json:"from,omitempty"` // the piece a moved strip came from

	// Of a band's edge that goes round several others: which bit of it is sewn to
	// which, in its own order. The one runs against the other.
	Stretches []Stretch `json:"stretches,omitempty"`
}

// Stretch is the bit of an edge that is sewn to one of several edges.
type Stretch struct {
	To     string  `json:"to"`   // "back/neck"
	Copy   int     `json:"copy"` // of that piece
	FromMM float64 `json:"from_mm"`
	ToMM   float64 `json:"to_mm"`
}

// Notch is a mark on a part's seam line. Toward is the unit direction out of
// the part. For is what it matches: a piecing seam's letter, or the name of
// the edge it was drawn on. Level is the letter of the piecing seam whose end
// it marks, on the parts that meet there and on the edge that they are sewn to.
type Notch struct {
	At     Point  `json:"at"`
	For    string `json:"for"`
	Count  int    `json:"count"`
	Toward Point  `json:"toward"`
	Level  string `json:"level,omitempty"`
}

// PiecingSeam is a seam added to join two parts. Line is in the piece's own
// coordinates; NotchesMM are distances along it from its start.
type PiecingSeam struct {
	Name        string     `json:"name"`
	Kind        string     `json:"kind"`   // as flags name it
	Called      string     `json:"called"` // as people do: a yoke away from shoulders, chest and hips is a cross seam
	Piece       string     `json:"piece"`
	Copy        int        `json:"copy"`
	Line        []Point    `json:"line"`
	LengthMM    float64    `json:"length_mm"`
	Parts       []string   `json:"parts"`
	NotchesMM   []float64  `json:"notches_mm,omitempty"`
	AllowanceMM float64    `json:"allowance_mm"`
	Press       string     `json:"press,omitempty"`         // which way the allowance is pressed
	Crosses     [][3]Point `json:"crosses_darts,omitempty"` // leg, apex, leg as on the piece; they are sewn across the seam
	Why         string     `json:"why,omitempty"`
	Cut         *Cut       `json:"cut,omitempty"`
}

// Cut is how a piecing seam was made, for it to be made again: by which way to
// split, at which level, and what became of either side.
type Cut struct {
	Way      string          `json:"way"`
	Of       json.RawMessage `json:"of,omitempty"` // what the way itself knows, where there are several of its name
	LevelMM  float64         `json:"level_mm"`
	TakeInMM float64         `json:"take_in_mm,omitempty"` // how far darts could be moved to be taken in
	Near     Side            `json:"near"`
	Far      Side            `json:"far"`
	Counts   []int           `json:"notch_counts,omitempty"` // of each notch: 1 single, 2 double

	// Of a seam that is one with those of other copies: what lies above the line is
	// its near part.
	Carried   bool `json:"carried,omitempty"`
	AboveNear bool `json:"above_near,omitempty"`
}

// Side is what lies on one side of a cut: a part, or what another seam cuts.
type Side struct {
	Part string `json:"part,omitempty"`
	Seam string `json:"seam,omitempty"`
}

// MovedSeam is a strip along a join that went from one piece to the other.
type MovedSeam struct {
	Join string  `json:"join"` // "front/shoulder back/shoulder"
	From string  `json:"from"`
	To   string  `json:"to"`
	ByMM float64 `json:"by_mm"`
	// The edge beside it at whose end the strip tapers to nothing; empty
	// for a strip of one width.
	Stays string `json:"stays,omitempty"`
	// How far apart the two edges as drawn lie, laid on each other.
	DifferMM float64 `json:"differ_mm,omitempty"`
	// The two new edges, which are sewn together.
	FromLengthMM float64 `json:"from_length_mm"`
	ToLengthMM   float64 `json:"to_length_mm"`
}

// Edges are the names of its two edges, that of From and that of To; empty where
// Join does not name one of either.
func (m *MovedSeam) Edges() (from, to string) {
	join, ok := strings.CutPrefix(m.Join, m.From+"/")
	if from, to, named := strings.Cut(join, " "+m.To+"/"); ok && named {
		return from, to
	}
	return "", ""
}

// Words are the two edges as "front/shoulder to back/shoulder".
func (m *MovedSeam) Words() string {
	from, to := m.Edges()
	return m.From + "/" + from + " to " + m.To + "/" + to
}

// MovedPiece is the outline that one copy of a piece has in this option, where
// a moved seam or a dart taken into a seam has changed it. Its parts tile this
// outline and not the one drawn.
type MovedPiece struct {
	Piece    string         `json:"piece"`
	Copy     int            `json:"copy"`
	SeamLine []Point        `json:"seam_line"`
	Darts    []TakenDart    `json:"darts_taken_in,omitempty"`
	FishEyes []TakenFishEye `json:"fisheye_darts_taken_in,omitempty"`
}

// Taken is a dart, by its corners, that a piecing seam took in: what lay
// between its legs is gone.
type Taken[Corners any] struct {
	Seam  string  `json:"seam"`
	Drawn Corners `json:"drawn"` // as on the piece
	Sewn  Corners `json:"sewn"`  // where the parts lie, each apex moved onto the seam
}

// TakenDart is a dart, leg, apex, leg, whose legs are sewn together in a
// piecing seam. One of the parts beside it may have been turned about the apex,
// by the angle between the legs, to bring them together: past the apex its edge
// of the seam then lies off the seam's line by that turn.
type TakenDart = Taken[[3]Point]

// TakenFishEye is a dart with two points, apex, wide, apex, wide, that a piecing
// seam running from one point to the other took in. Its sides are the seam's
// two edges there, and the hole between them in the piece's outline is Sewn.
type TakenFishEye = Taken[[4]Point]

// DividedDart is a dart with two points that a piecing seam across it makes
// two of. Each half is sewn first, and their mouths, which are one stretch of
// the seam, meet.
type DividedDart struct {
	Piece string   `json:"piece"`
	Copy  int      `json:"copy"`
	Seam  string   `json:"seam"`
	Drawn [4]Point `json:"drawn"` // apex, wide, apex, wide as on the piece
	// From the seam by the apex to the seam, one on either side of it: three
	// points for an ordinary dart, which is among its part's darts; five where
	// the widest place, and so a bend of the legs, is on that side.
	Halves [2][]Point `json:"halves"`
}

// Trued is a corner in a line that runs on across a seam: how sharp it was,
// and how far the line was moved to smooth it. Left is set where smoothing would
// need more than 1 mm: that corner is as it was.
type Trued struct {
	Piece     string  `json:"piece"`
	Copy      int     `json:"copy"`
	Edge      string  `json:"edge"`
	At        Point   `json:"at"`
	CornerDeg float64 `json:"corner_deg"`
	MovedMM   float64 `json:"moved_mm"`
	Left      bool    `json:"left,omitempty"`
}

// Join is two edges that are sewn together, walked before and after.
type Join struct {
	A            string  `json:"a"` // "front/side"
	B            string  `json:"b"`
	AMM          float64 `json:"a_mm"`
	BMM          float64 `json:"b_mm"`
	DifferenceMM float64 `json:"difference_mm"` // ease: a less b
	DrawnAMM     float64 `json:"drawn_a_mm"`
	DrawnBMM     float64 `json:"drawn_b_mm"`
	NotchesMeet  int     `json:"notches_meet,omitempty"`   // notches of A with one of B to meet
	NotchesAlone int     `json:"notches_single,omitempty"` // notches with none
	Note         string  `json:"note,omitempty"`
}

// Left is what remains of a scrap.
type Left struct {
	Scrap     string  `json:"scrap"`
	Copy      int     `json:"copy"`
	AreaMM2   float64 `json:"area_mm2"`
	Untouched bool    `json:"untouched,omitempty"`
	// Of the area, bits that are large enough to cut from, and what is not.
	Bits        int     `json:"bits"`
	StuffingMM2 float64 `json:"stuffing_mm2,omitempty"`
}

// Short says by how much a piece misses the scrap that comes closest.
type Short struct {
	Piece    string  `json:"piece"`
	Copy     int     `json:"copy,omitempty"`
	Scrap    string  `json:"scrap"`
	AlongMM  float64 `json:"along_mm"`
	AcrossMM float64 `json:"across_mm"`
	Split    string  `json:"split,omitempty"` // the best split tried, empty for the whole piece
	// There was no time for this row: nothing is known of it.
	NotChecked bool `json:"not_checked,omitempty"`
}

// Write writes the document, indented for people.
func (d *Document) Write(w io.Writer) error {
	signed := *d
	signed.MadeBy = "eke"
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	e.SetEscapeHTML(false)
	return e.Encode(signed)
}
