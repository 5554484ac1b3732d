package search

// budget is how much work one task of an iteration may do.
type budget struct {
	tries      int // of places for parts
	poses      int // that fit.Pack weighs before a bin counts as full
	attempts   int // at the levels of a component
	lowerPoses int // of two lower-bound parts before a bin counts as too small; lowerPartPoses
	// From how many starts they are packed; 1. The budgets that come to most of the work
	// have no time for more.
	lowerStarts int
	// By how much a shared bin may be fuller than it would be if all bins were
	// equally full. Odd shapes leave gaps: the fuller the bins must be, the less
	// likely a plan is, and the later it is tried.
	fillMargin  float64
	perCopy     int  // most seams in one copy, unless no composition is left
	deepOnly    bool // whether some copy has more seams than the usual budgets give it
	nonStraight bool // whether cuts need not be straight
	sharedOnly  bool // whether the search with one part a bin is left out
	// Whether the bins with most area left are tried first, and not those with least. Where
	// one order fills bins so that nothing can be packed, a thousand times over, the other
	// does not: so budgets differ in it.
	emptiestFirst bool
	restarts      int // in an order by chance, before the tries that are left
	// Whether a part between two cuts may lie before where the first of them was made.
	// That is seldom needed, and takes long.
	wide bool
	// Into how many ranges the levels of a first cut are divided; 0 for one. In a range it
	// is known better how much of the piece is left, and where.
	ranges int
	// About how many times as much work it takes as the one before, the first wide one as
	// the one that it comes after. The third takes less than the second, which has found
	// out most of what it asks.
	growth float64
	// How many times less work it must promise to come before another: what the first
	// four have not found, the later ones seldom do.
	bias float64
}

// packTier is the tier after which whole pieces that all have one bin each are
// packed hard, once: it may take millions of poses until a dozen parts lie on one
// cloth, a few seconds, and that is early enough for seams.
const packTier = 2

// packBudget is for that, of so many parts.
func packBudget(parts int) budget {
	const each, all = 300_000, 8_000_000 // for a part, and for them together
	return budget{tries: each, poses: min(each, all/max(1, parts-1)), attempts: 1, fillMargin: 1, sharedOnly: true}
}

// maxPoses is more than any time allows.
const maxPoses = 1 << 28

// quarter is a budget of a quarter of the tries.
func (b budget) quarter() budget {
	b.tries /= 4
	return b
}

// budgets are the tiers, from bins that fill loosely to bins that are full, and
// ever more thorough. The fourth lets bins get full and is thorough in nothing else: with
// the right bins given, the third finds three plans in four that fill their scraps to
// 2 mm, and the fourth nineteen in twenty, in half the time that the fifth takes.
var budgets = []budget{
	{tries: 4000, poses: 3000, attempts: 1, lowerPoses: fewLowerPoses, fillMargin: 0.03, perCopy: 2, growth: 1, bias: 1},
	{tries: 15000, poses: 6000, attempts: 2, lowerPoses: fewLowerPoses, fillMargin: 0.08, perCopy: 2, ranges: 6, emptiestFirst: true, restarts: 2, growth: 2, bias: 1},
	{tries: 60000, poses: 6000, attempts: 2, lowerPoses: fewLowerPoses, fillMargin: 0.11, perCopy: 2, sharedOnly: true, ranges: 6, restarts: 4, growth: 0.5, bias: 1},
	{tries: 60000, poses: 6000, attempts: 4, lowerPoses: fewLowerPoses, fillMargin: 0.2, perCopy: 2, sharedOnly: true, ranges: 6, restarts: 4, growth: 2, bias: 1},
	{tries: 60000, poses: 6000, attempts: 6, lowerPoses: fewLowerPoses, lowerStarts: lowerStarts, fillMargin: 0.2, perCopy: 2, sharedOnly: true, ranges: 6, emptiestFirst: true, restarts: 6, growth: 2, bias: 2},
	{tries: 60000, poses: 15000, attempts: 6, lowerStarts: lowerStarts, fillMargin: 0.14, perCopy: maxCuts, nonStraight: true, sharedOnly: true, ranges: 4, growth: 8, bias: 40},
	{tries: 300000, poses: 40000, attempts: 16, lowerPoses: 5000, lowerStarts: lowerStarts, fillMargin: 1, perCopy: maxCuts, nonStraight: true, sharedOnly: true, ranges: 4, emptiestFirst: true, growth: 3, bias: 40},
}

// wideBudgets are tiers of their own, beside the others.
var wideBudgets = []budget{
	{tries: 60000, poses: 6000, attempts: 4, lowerStarts: lowerStarts, fillMargin: 0.2, perCopy: 2, sharedOnly: true, wide: true, growth: 3, bias: 6},
	{tries: 300000, poses: 15000, attempts: 16, lowerStarts: lowerStarts, fillMargin: 1, perCopy: maxCuts, sharedOnly: true, wide: true, emptiestFirst: true, growth: 1.5, bias: 20},
}

// pairBudgets are those with seams moved for pairs of bins. One copy has its two bins then,
// so that much less is to be looked through.
var pairBudgets = []budget{
	{tries: 4000, poses: 3000, attempts: 1, lowerPoses: fewLowerPoses, fillMargin: 0.08, perCopy: 2, growth: 0.5, bias: 1},
	{tries: 15000, poses: 6000, attempts: 2, lowerPoses: fewLowerPoses, fillMargin: 0.11, perCopy: 2, ranges: 6, emptiestFirst: true, growth: 3, bias: 2},
	{tries: 60000, poses: 6000, attempts: 4, lowerPoses: fewLowerPoses, lowerStarts: lowerStarts, fillMargin: 0.2, perCopy: 2, sharedOnly: true, ranges: 6, growth: 3, bias: 8},
}

// deepBudgets are for more cuts of one copy. Few plans need them, and they take long.
var deepBudgets = []budget{
	{tries: 15000, poses: 6000, attempts: 2, lowerPoses: fewLowerPoses, fillMargin: 0.11, perCopy: maxCuts, deepOnly: true, ranges: 6, emptiestFirst: true, growth: 1, bias: 2},
	{tries: 60000, poses: 6000, attempts: 4, lowerPoses: fewLowerPoses, lowerStarts: lowerStarts, fillMargin: 0.2, perCopy: maxCuts, deepOnly: true, sharedOnly: true, ranges: 6, growth: 3, bias: 4},
}
