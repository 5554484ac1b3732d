package photo

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// mostBlurPx is how blurred edges are, as a standard deviation, where it is said.
const mostBlurPx = 2.2

// blur is how blurred the edges of the largest patches are, in points; ok is
// false where none is seen.
func (t *tracer) blur(all []region) (px float64, ok bool) {
	const enough = 5
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b region) int { return b.area - a.area })
	var blurs []float64
	for _, r := range all {
		if len(blurs) < enough && !r.rim {
			blurs = append(blurs, t.p.outline(r.rings[0], t.f, t.ground, t.labels).blurPx)
		}
	}
	if len(blurs) == 0 {
		return 0, false
	}
	return median(blurs), true
}

// dark is whether there is nothing bright in the picture: paper in enough light
// would be.
func (t *tracer) dark() bool {
	bright := 0
	for _, c := range t.f.light {
		if c[1] > darkPaper {
			bright++
		}
	}
	return float64(bright) < 0.002*float64(len(t.f.light))
}

// An outline that is off by so many points all round, twice its standard deviation
// in staged pictures, makes a scrap's area off by this part at least where it is
// said.
const (
	aroundPx = 0.15
	areaOff  = 0.015
)

// small is the numbers of the scraps whose area is surely known no better than
// that, and by what part it may be off at worst.
func (t *tracer) small() (numbers []int, worst float64) {
	for _, s := range t.out.Scraps {
		around := 0.0
		for i, q := range s.Outline {
			around += plane.Distance(q, s.Outline[(i+1)%len(s.Outline)])
		}
		mid := orb.Ring(s.seen[0]).Bound().Center()
		if off := aroundPx * t.view.mmPerPoint(mid) * around / s.MeasuredMM2; off > areaOff {
			numbers, worst = append(numbers, s.Number), max(worst, off)
		}
	}
	return numbers, worst
}

// farMM is the uncertainty of an outline, a standard deviation, where it is said why it is so
// much: much of the outline may then be off by twice as much.
const farMM = 1.0

// far is the numbers of the scraps whose outlines are no surer than that, by the lens or by all else, and how unsure
// they are at worst.
func (t *tracer) far(byLens bool) (numbers []int, worst float64) {
	for _, s := range t.out.Scraps {
		if s.UncertainMM >= farMM && s.byLens() == byLens {
			numbers, worst = append(numbers, s.Number), max(worst, s.UncertainMM)
		}
	}
	return numbers, worst
}

// byLens is whether most of the square of a scrap's uncertainty comes from how the lens bends lines.
func (s *Scrap) byLens() bool { return 2*s.bendMM*s.bendMM > s.UncertainMM*s.UncertainMM }

// What is said of outlines that are unsure because the bend of the lens is, and what may be done.
const (
	lensUnsure = "the lens may bend lines, and too little that is straight in the picture shows by how much"
	lensCure   = "lay scale sheets at two opposite corners of the pile, or step back, so that it lies in the middle of the picture"
)

// named is scraps by their numbers.
func named(numbers []int) string {
	if len(numbers) == 1 {
		return fmt.Sprintf("number %d", numbers[0])
	}
	var all []string
	for _, n := range numbers {
		all = append(all, strconv.Itoa(n))
	}
	last := len(all) - 1
	return "numbers " + strings.Join(all[:last], ", ") + " and " + all[last]
}

// counted is scraps by their numbers, and that they are.
func counted(numbers []int) string {
	if len(numbers) == 1 {
		return named(numbers) + " is"
	}
	return named(numbers) + " are each"
}

// darkPaper is the light of white paper, of 1, below which a picture is too dark.
const darkPaper = 0.13

// whole says what is wrong with the picture as a whole.
func (t *tracer) whole() {
	add := func(what, cure string) {
		t.out.Problems = append([]Problem{{What: what, Cure: cure}}, t.out.Problems...)
	}
	switch v := luminance(t.white); {
	case v < darkPaper:
		add("the picture is too dark: outlines and colours are less sure", "photograph it in more light, without a flash")
	case v > 0.985:
		add("the sheet is burnt out white: edges swell there", "take light away, or tap the sheet so that the camera exposes for it")
	}
	if n := len(t.blurs); n > 0 {
		slices.Sort(t.blurs)
		if b := t.blurs[n/2]; b > mostBlurPx {
			add(fmt.Sprintf("the picture is blurred: edges are %.1f mm wide", 2*b*t.out.MMPerPoint), "hold the camera still, and wipe its lens")
		}
	}
	if t.harsh {
		add("shadows with sharp edges lie beside scraps: outlines are less sure there", "photograph them in even light, with no lamp, sun or flash from one side")
	}
	if t.out.MMPerPoint > 0.8 {
		add(fmt.Sprintf("a point of the picture is %.1f mm of cloth", t.out.MMPerPoint), "come nearer, photograph the pile in parts, or set the camera to more points")
	}
	if small, part := t.small(); len(small) > 0 {
		add(fmt.Sprintf("%s so small or narrow in the picture that its area may be off by up to %.1f %%", counted(small), 100*part), "photograph what is small from nearer, in a picture of its own, if you need all of it")
	}
	if far, mm := t.far(false); len(far) > 0 {
		add(fmt.Sprintf("%s so far from the sheet that the outline is uncertain by up to %.1f mm", counted(far), mm), "lay the sheet nearer, or a second one at the other side of the pile")
	}
	if far, mm := t.far(true); len(far) > 0 {
		add(fmt.Sprintf("%s: %s may be off by up to %.1f mm", lensUnsure, named(far), mm), lensCure)
	}
	if len(t.out.Scraps) == 0 && !slices.ContainsFunc(t.out.Problems, func(p Problem) bool { return p.Number > 0 }) {
		add("no scrap is seen", "lay scraps on a plain ground of another colour, clear of the sheet and of the picture's edge")
	}
}
