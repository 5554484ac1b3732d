package svg

// A drawing beyond these is refused. They are far outside what a pattern
// needs, and keep a hostile or broken file from exhausting the machine.
const (
	maxBytes      = 20 << 20 // of the file, unpacked
	maxElements   = 50_000
	maxAttributes = 500_000
	maxDepth      = 100    // of elements inside one another
	maxUses       = 20     // of `use` inside `use`
	maxDrawn      = 50_000 // elements once every `use` is followed
	maxSegments   = 100_000
	maxTextBytes  = 64 << 10 // of one title or description
	maxStyleBytes = 1 << 20  // of one style sheet
	maxRules      = 200      // of style sheets that bear on geometry
	maxArguments  = 1000     // bytes of one transform's numbers
	maxMM         = 1e6      // from the page's origin
	maxEntities   = 100
	maxCount      = 200 // copies of a piece or a scrap
	maxPieces     = 2000
	maxMarks      = 500 // of one piece
)
