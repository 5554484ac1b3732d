package plan

// Gives is what the scraps of one fabric still give once an option is cut. A
// rectangle's length is along the grain, its width across it.
type Gives struct {
	Fabric       string     `json:"fabric"`
	AreaMM2      float64    `json:"area_mm2"`
	TapeMM       float64    `json:"tape_mm"` // of bias tape, once its strips are joined
	Strips       int        `json:"strips"`
	Joins        int        `json:"joins"`
	ContinuousMM float64    `json:"continuous_mm,omitempty"` // of tape in one strip, from the largest square
	RectangleMM  [2]float64 `json:"rectangle_mm"`            // length, width
	RectangleOn  string     `json:"rectangle_on"`            // the scrap
	SquareMM     float64    `json:"square_mm"`
	SquareOn     string     `json:"square_on"`
}
