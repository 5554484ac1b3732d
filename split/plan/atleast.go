package plan

// AtLeast is why no plan has fewer added seams than that, as a list that anyone
// can check. A plan with fewer leaves most copies whole, and cuts the others once
// or more. Cannot lists which whole copies, and which parts of a copy cut once or
// twice, lie on no place of a scrap, and Crowds which of them do not lie on a scrap
// all together. Cases lists choices of how often some copies
// are cut; in each, these copies find no places, whichever scraps they are given.
// Every way to share out fewer seams among all copies is one of these cases.
//
// Where seams of the pattern may be moved, Cannot, Crowds and Cases are told for ranges of
// how far: in Moved, and every way to move the seams is in one of them.
type AtLeast struct {
	Seams  int        `json:"seams"`
	Kinds  []string   `json:"kinds,omitempty"` // of seam that this is about; all where there are none
	Cannot []Cannot   `json:"cannot,omitempty"`
	Crowds []Crowd    `json:"crowds,omitempty"`
	Cases  []SeamCase `json:"cases,omitempty"`
	Moved  []Moved    `json:"moved,omitempty"`
}

// Moved is what is so where seams are moved within some ranges. A seam of which
// nothing is told is moved either way, as far as a seam may be, or not.
type Moved struct {
	Ranges []MoveRange `json:"ranges"`
	Cannot []Cannot    `json:"cannot"`
	Crowds []Crowd     `json:"crowds,omitempty"`
	Cases  []SeamCase  `json:"cases"`
}

// MoveRange is how far a seam is moved: by so much that a strip of it goes from the
// one piece to the other. A most of 0 is that it stays.
type MoveRange struct {
	From    string  `json:"from"` // as in front/shoulder: what gives the strip
	To      string  `json:"to"`
	Even    bool    `json:"even,omitempty"`  // the strip is of one width
	Stays   string  `json:"stays,omitempty"` // it tapers to nothing at the end of this edge; of neither it is not said which
	LeastMM float64 `json:"least_mm"`
	MostMM  float64 `json:"most_mm"`
}

// Cannot says that a copy, whole or what a cut leaves of it, lies nowhere on a
// scrap, as the grain and its tolerance let it lie.
type Cannot struct {
	Piece     string   `json:"piece"`
	Copy      int      `json:"copy"`
	Cut       *CutSide `json:"cut,omitempty"`
	First     *CutSide `json:"first_cut,omitempty"` // of a copy that is cut twice: what the other cut is made of lies on this side of the first
	Scrap     string   `json:"scrap"`
	ScrapCopy int      `json:"scrap_copy"`
	Beside    *CopyOf  `json:"beside,omitempty"`     // while this copy lies there, whole
	BesideCut *CutSide `json:"beside_cut,omitempty"` // or what of it lies on this side
	By        string   `json:"by"`                   // "area", or "placing": everywhere it is off the cloth or meets the other

	NeedsMM2 float64 `json:"needs_mm2,omitempty"` // of area, allowances and all
	HasMM2   float64 `json:"has_mm2,omitempty"`   // the scrap
	OffMM    float64 `json:"off_mm,omitempty"`    // everywhere at least so far off the cloth, or into the gap
}

// Crowd says that some copies, each whole or what a cut leaves of it, do not all lie on
// a scrap.
type Crowd struct {
	Parts     []CrowdPart `json:"parts"`
	Scrap     string      `json:"scrap"`
	ScrapCopy int         `json:"scrap_copy"`
	OffMM     float64     `json:"off_mm"` // wherever they lie, one is at least so far off the cloth, or into the gap to another
}

// CrowdPart is a copy, or with a cut what of it lies on that side.
type CrowdPart struct {
	Piece string   `json:"piece"`
	Copy  int      `json:"copy"`
	Cut   *CutSide `json:"cut,omitempty"`
	First *CutSide `json:"first_cut,omitempty"` // as of Cannot
}

// CutSide is what lies on one side of a line, wherever the line runs from a level
// on. Levels are measured along the piece's grain turned by TurnDeg, in the
// piece's own coordinates. Side "before" is what lies before each line at that
// level or a greater one; "beyond" is what lies beyond each at that level or a
// lesser one.
type CutSide struct {
	Way     string  `json:"way"` // as flags name it
	TurnDeg float64 `json:"turn_deg"`
	Bend    int     `json:"bend,omitempty"` // of a curved line: 1 where its ends lie at greater levels than its middle, -1 at lesser
	Side    string  `json:"side"`
	LevelMM float64 `json:"level_mm"`
}

// SeamCase is how often some copies are cut: these find no places.
type SeamCase struct {
	Copies []SeamsOf `json:"copies"`
}

// SeamsOf is a copy that so many seams are added to.
type SeamsOf struct {
	Piece string `json:"piece"`
	Copy  int    `json:"copy"`
	Seams int    `json:"seams"`
}
