package check

import (
	"errors"
	"iter"

	"github.com/peterstace/simplefeatures/rtree"
)

// index finds boxes by where they are (A. Guttman, "R-trees: a dynamic index
// structure for spatial searching", 1984).
type index struct{ tree *rtree.RTree }

func newIndex(boxes []box) *index {
	items := make([]rtree.BulkItem, len(boxes))
	for i, b := range boxes {
		items[i] = rtree.BulkItem{Box: boxed(b), RecordID: i}
	}
	return &index{rtree.BulkLoad(items)}
}

// indexOf is an index of segments.
func indexOf(all []segment) *index {
	boxes := make([]box, len(all))
	for i, s := range all {
		boxes[i] = s.box
	}
	return newIndex(boxes)
}

func boxed(b box) rtree.Box {
	return rtree.Box{MinX: b.lo[0], MinY: b.lo[1], MaxX: b.hi[0], MaxY: b.hi[1]}
}

// errEnough ends a search: with rtree.Stop it would go on in other branches.
var errEnough = errors.New("enough")

// touching gives the numbers of the boxes that touch b.
func (x *index) touching(b box) iter.Seq[int] {
	return func(yield func(int) bool) {
		x.tree.RangeSearch(boxed(b), func(i int) error {
			if !yield(i) {
				return errEnough
			}
			return nil
		})
	}
}
