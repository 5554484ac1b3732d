package split_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"eke/piece"
	"eke/piece/curve"
	"eke/split"
	"eke/svg"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawn are the copies of a pattern given as the groups of its drawing.
func drawn(t tester, groups ...string) []*piece.Piece {
	t.Helper()
	text := `<svg xmlns="http://www.w3.org/2000/svg" width="3000mm" height="3000mm" viewBox="0 0 3000 3000">` + strings.Join(groups, "\n") + `</svg>`
	pieces, err := svg.Pattern(strings.NewReader(text), "drawn.svg")
	require.NoError(t, err)
	return split.Copies(pieces)
}

// trapeze is a piece whose top is so wide, between two slanting edges, and whose
// other edges are its sides and the hem. The facts stand in the group's start tag.
func trapeze(facts, top string, width float64, left, right string) string {
	return fmt.Sprintf(`<g %s><path class="seam" d="M 0,0 H %[2]g L %[3]g,60 V 300 H -50 V 60 Z"/><path class="grain" d="M %[4]g,100 V 200"/>
		<path class="edge %s" d="M 0,0 H %[2]g"/><path class="edge %[6]s" d="M %[2]g,0 L %[3]g,60"/><path class="edge %[7]s" d="M -50,60 L 0,0"/></g>`,
		facts, width, width+50, width/2, top, right, left)
}

// strip is a band so long, drawn at x 1000, that is joined along its top.
func strip(facts string, length float64, joins string) string {
	return fmt.Sprintf(`<g %s><rect class="seam" x="1000" y="0" width="%[2]g" height="40"/><path class="grain" d="M 1010,5 V 35"/>
		<path class="edge on" data-ease="400mm" data-joins="%[3]s" d="M 1000,0 h %[2]g"/></g>`, facts, length, joins)
}

// whole is the facts of a piece that is cut once.
func whole(name string) string { return fmt.Sprintf("id=%q", name) }

// A band down an open front that goes on past the ends of a rib at the hem: what is
// sewn to those is no part of what goes round the garment. What is a layer of the band
// takes none of its length.
func TestABandGoesPastTheEndsOfOthers(t *testing.T) {
	open := []string{
		trapeze(`id="front" data-cut="2" data-mirrored="yes"`, `neck`, 150, `centre-front`, `shoulder" data-joins="back/shoulder`),
		trapeze(whole("back"), `neck`, 200, `shoulder" data-joins="front/shoulder`, `shoulder" data-joins="front/shoulder`),
	}
	rib := func(name string) string {
		return fmt.Sprintf(`<g id=%q><rect class="seam" x="1000" y="500" width="900" height="60"/><path class="grain" d="M 1010,505 V 535"/><path class="edge end" d="M 1000,500 v 60"/><path class="edge end" d="M 1900,500 v 60"/></g>`, name)
	}
	for name, c := range map[string]struct {
		mm      float64
		joins   string
		from    float64 // of the stretches
		lengths []float64
	}{
		"as long as all":   {620, "hem-rib/end, front/neck, back/neck, front/neck, hem-rib/end", 60, []float64{150, 200, 150}},
		"a little shorter": {310, "hem-rib/end, front/neck, back/neck, front/neck, hem-rib/end", 30, []float64{75, 100, 75}},
		"at one end":       {560, "hem-rib/end, front/neck, back/neck, front/neck", 60, []float64{150, 200, 150}},
		"no longer":        {500, "hem-rib/end, front/neck, back/neck, front/neck, hem-rib/end", 0, []float64{150, 200, 150}},
		"a pocket":         {500, "pocket/end, front/neck, back/neck, front/neck, pocket/end", 0, []float64{150, 200, 150}},
	} {
		t.Run(name, func(t *testing.T) {
			copies := drawn(t, append(slices.Clone(open), rib("hem-rib"), rib("pocket"), strip(whole("front-band"), c.mm, c.joins))...)
			band := copies[len(copies)-1]
			require.Equal(t, "front-band", band.Name)
			require.Len(t, band.Stretches, len(c.lengths))
			at := c.from
			for k, s := range band.Stretches {
				require.InDelta(t, at, s.FromMM, 1e-6)
				at += c.lengths[k]
				require.InDelta(t, at, s.ToMM, 1e-6)
			}
		})
	}
}

// The places are where lengths added up by hand come to.
func TestSeamsThatMeetABand(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		mm := func(name string) float64 { return float64(rapid.IntRange(60, 300).Draw(t, name)) }
		front, back, sleeve, stretch := mm("front"), mm("back"), mm("sleeve"), rapid.Float64Range(0.7, 1).Draw(t, "stretch")
		shirt := []string{
			trapeze(whole("front"), `neck`, front, `shoulder" data-joins="back/shoulder`, `shoulder" data-joins="back/shoulder`),
			trapeze(whole("back"), `neck`, back, `shoulder" data-joins="front/shoulder`, `shoulder" data-joins="front/shoulder`),
		}
		raglan := []string{
			trapeze(whole("front"), `neck`, front, `raglan" data-joins="sleeve/raglan-front`, `raglan" data-joins="sleeve/raglan-front`),
			trapeze(whole("back"), `neck`, back, `raglan" data-joins="sleeve/raglan-back`, `raglan" data-joins="sleeve/raglan-back`),
			trapeze(`id="sleeve" data-cut="2" data-mirrored="yes"`, `neck`, sleeve, `raglan-back" data-joins="back/raglan`, `raglan-front" data-joins="front/raglan`),
		}
		skirt := []string{
			trapeze(whole("front"), `waist`, front, `side" data-joins="back/side`, `side" data-joins="back/side`),
			trapeze(`id="back" data-cut="2" data-mirrored="yes"`, `waist`, back, `centre-back" data-joins="back/centre-back`, `side" data-joins="front/side`),
		}
		open := []string{
			trapeze(`id="front" data-cut="2" data-mirrored="yes"`, `neck`, front, `centre-front`, `shoulder" data-joins="back/shoulder`),
			shirt[1],
		}
		for name, c := range map[string]struct {
			body  []string
			seam  string
			facts string
			joins string
			walk  []float64 // of the garment, from seam to seam
		}{
			"round a neck, the ends at the centre back": {shirt, "shoulder seam", whole("band"), "back/neck, front/neck, back/neck", []float64{back / 2, front, back / 2}},
			"the ends at a shoulder":                    {shirt, "shoulder seam", whole("band"), "back/neck, front/neck", []float64{back, front}},
			"raglan sleeves":                            {raglan, "raglan seam", whole("band"), "back/neck, sleeve/neck, front/neck, sleeve/neck, back/neck", []float64{back / 2, sleeve, front, sleeve, back / 2}},
			"raglan sleeves, the ends at one of them":   {raglan, "raglan seam", whole("band"), "sleeve/neck, back/neck, sleeve/neck, front/neck", []float64{sleeve, back, sleeve, front}},
			"a waistband with its ends behind":          {skirt, "side seam", whole("waistband"), "back/waist, front/waist, back/waist", []float64{back, front, back}},
			"down an open front, however it is listed":  {open, "shoulder seam", whole("band"), "back/neck, front/neck", []float64{front, back, front}},
			"a facing of two layers":                    {open, "shoulder seam", `id="facing" data-cut="2"`, "front/neck, back/neck", []float64{front, back, front}},
			"a ring that starts nobody knows where":     {raglan, "", whole("band"), "front/neck, back/neck, sleeve/neck", nil},
			"not a band":                                {shirt, "", whole("yoke"), "back/neck, front/neck, back/neck", nil},
		} {
			total := 0.0
			for _, l := range c.walk {
				total += l
			}
			length := max(100, total*stretch)
			copies := drawn(t, append(slices.Clone(c.body), strip(c.facts, length, c.joins))...)
			var want []float64
			at := 0.0
			for n := range len(c.walk) - 1 {
				at += c.walk[n] / total * length
				want = append(want, 1000+at)
			}
			for _, p := range copies[len(copies)-1:] {
				var got []float64
				for _, e := range p.SeamEnds {
					require.Equal(t, c.seam, e.Seam, name)
					require.InDelta(t, 0, e.At[1], 1e-6, name)
					got = append(got, e.At[0])
				}
				slices.Sort(got)
				require.InDeltaSlice(t, want, got, 1e-6, name)
				require.Len(t, p.Stretches, len(c.walk), name)
				for n, s := range p.Stretches { // in the order of the edge, which runs from left to right
					require.InDelta(t, c.walk[n]/total*length, s.ToMM-s.FromMM, 1e-6, name)
					require.Contains(t, c.joins, s.To.String(), name)
				}
			}
		}
	})
}

// The cardigan's band has an edge for each that it is sewn to. Its own shoulder
// seams are measured along the polylines of the necks.
func TestSeamsThatMeetTheCardigansBand(t *testing.T) {
	t.Parallel()
	copies := sample(t, "cardigan.svg")
	band, back := only(copies, "band")[0], only(copies, "back")[0]
	neck := 0.0
	ring := back.Outline[back.Outline.Edge("neck")[0]].Line.Flatten(curve.FlattenMM)
	for i := 1; i < len(ring); i++ {
		neck += curve.Polyline(ring[i-1], ring[i]).Length()
	}
	require.Len(t, band.SeamEnds, 2)
	for _, e := range band.SeamEnds {
		require.Equal(t, "shoulder seam", e.Seam)
		require.InDelta(t, neck/2, max(e.At[0]-band.Centre.A[0], band.Centre.A[0]-e.At[0]), 1)
	}

	// Where the shoulder seam moves, the band's corners no longer show where it is.
	moved, err := split.Move{From: piece.Ref{Piece: "front", Edge: "shoulder"}, To: piece.Ref{Piece: "back", Edge: "shoulder"}, ByMM: 20}.Apply(copies)
	require.NoError(t, err)
	require.Empty(t, only(moved, "band")[0].SeamEnds)
	require.Len(t, band.SeamEnds, 2)
}
