package svg

// A drawing beyond these is refused. They are far outside what a pattern
// needs, and keep a hostile or broken file from exhausting the machine.
const (
	maxBytes      = 16 << 20 // of the file, unpacked
	maxElements   = 50_000
	maxAttributes = 500_000
	maxPerElement = 500 // attributes of one element
	maxDepth      = 100 // of elements inside one another
	maxEntities   = 100
	maxTextBytes  = 64 << 10 // of one title or description
	maxStyleBytes = 1 << 20  // of one style sheet
	maxRules      = 200      // of style sheets that place or hide things
	maxTransform  = 1000     // bytes of one transform
	maxNameBytes  = 400      // of a name that are looked at

	maxUses     = 20     // of `use` inside `use`
	maxDrawn    = 50_000 // elements once every `use` is followed
	maxSegments = 100_000
	maxMM       = 1e6 // from the page's origin

	maxPieces     = 2000
	maxCount      = 200 // copies of a piece or a scrap
	maxMarks      = 300 // of one piece or scrap
	maxEdges      = 100
	maxMarkLines  = 2000 // line segments of one mark
	maxNotchLines = 20   // line segments of one notch
)
