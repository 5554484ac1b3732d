package check

import "fmt"

// Rule is what a plan must keep to be right.
type Rule string

// The rules, in the order in which they are checked. None is about taste: a plan
// that breaks one would fail at the cutting table or the sewing machine.
const (
	Numbers     Rule = "numbers"              // every number is finite and of a size that cloth has
	Names       Rule = "names"                // names and copies are there once, and what they refer to exists
	Outline     Rule = "outline"              // outlines are simple closed lines round one area
	Placement   Rule = "placement"            // a turn and a shift, nothing stretched
	Face        Rule = "face"                 // turned over only on cloth with two right sides
	Fabric      Rule = "fabric"               // cut from a fabric that its piece allows
	Kind        Rule = "kind"                 // knit and woven are kept apart
	Look        Rule = "look"                 // a part looks like its scrap
	Wish        Rule = "wish"                 // a wish about looks is kept as it is said to be
	Use         Rule = "use"                  // cloth set apart for the lining is cut for nothing else
	Grain       Rule = "grain"                // along the scrap's grain, and its nap
	Overhang    Rule = "overhang"             // on the scrap
	Hole        Rule = "hole"                 // off the scrap's holes
	Gap         Rule = "gap"                  // clear of the other parts on the scrap
	Spoilt      Rule = "spoilt"               // clear of cloth that is gone
	AlreadyCut  Rule = "already cut"          // what the shears have been round stays as it is, where it is
	Missing     Rule = "missing"              // nothing of a piece is left out
	Overlap     Rule = "overlap"              // nothing of a piece is there twice
	Beyond      Rule = "beyond"               // nothing is there that is not of the piece
	Moved       Rule = "moved seam"           // what one piece gives the other takes
	TakenDart   Rule = "dart taken in"        // a dart's legs can be sewn together in a seam
	CrossedDart Rule = "crossed dart"         // a dart that a seam crosses is on both sides of it
	FishEye     Rule = "dart with two points" // is whole, divided into darts that meet, or taken into a seam
	Sliver      Rule = "sliver"               // wide enough to sew, and in one
	Edges       Rule = "edges"                // the lines drawn are the seam line and the cutting line
	Allowance   Rule = "allowance"            // the cutting line leaves every edge its allowance
	SeamCount   Rule = "seam count"           // the seams counted are the seams there
	SeamLine    Rule = "seam line"            // a piecing seam runs where its parts meet
	Length      Rule = "length"               // lengths are what the lines measure
	LostNotch   Rule = "lost notch"           // the piece's notches are on its parts
	NotchPlace  Rule = "notch"                // a notch is on a seam line and points out of the part
	NotchMate   Rule = "notch mate"           // notches meet when the seam is sewn
	NotchTells  Rule = "notch tells"          // no part can be sewn on the wrong way round
	LevelMark   Rule = "level mark"           // a mark for the end of a seam is where that end is sewn
	CarriedLine Rule = "carried line"         // it goes on at every join that it meets, the same looks above and below
	Blocks      Rule = "blocks"               // each part is one block of the grid, and the lines meet where they are said to
	Stripes     Rule = "stripes"              // each part lies in one stripe and looks like it, and the lines meet where they are said to
	StripeMatch Rule = "stripe match"         // the cloth's own stripes meet at seams as they are said to
	Cost        Rule = "cost"                 // the cost adds up
	Fewest      Rule = "fewest"               // no plan with fewer added seams is overlooked where none is said to exist
	NotProvable Rule = "not provable"         // the geometry library gave up
)

// AllOptions is the Option of a fault in what all options share: the pieces,
// the scraps and the plan's own numbers.
const AllOptions = -1

// Fault is one thing wrong with an option: which rule it breaks, where, and
// by how much. Option is an index into the document's options, or AllOptions.
// Part, Scrap and Seam name what is at fault and are empty where they do not
// apply.
type Fault struct {
	Rule              Rule
	Option            int
	Part, Scrap, Seam string
	Detail            string
}

// Error is the fault as a sentence.
func (f Fault) Error() string {
	where := "the plan"
	if f.Option != AllOptions {
		where = fmt.Sprintf("option %d", f.Option+1)
	}
	for _, w := range []struct{ what, name string }{{"part", f.Part}, {"scrap", f.Scrap}, {"seam", f.Seam}} {
		if w.name != "" {
			where += fmt.Sprintf(", %s %s", w.what, w.name)
		}
	}
	return fmt.Sprintf("%s: %s: %s", where, f.Rule, f.Detail)
}
