package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// dartedFront is half a blouse's front, 461 mm long, with a bust dart from the
// side to 276 mm below the top and a waist dart up to 292 mm.
const dartedFront = `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="600mm" viewBox="0 0 400 600">
<g id="front">
<path class="seam" d="M -15,86 H 0 C 40,86 55.16,40.65 72,0 L 185.64,47.07 C 169.57,85.87 172,116 172,158 C 172,208 214,243 260,242 L 262,293.96 L 256.2,319.79 L 239.35,461.04 C 199.35,460.04 150.82,453.97 111,457.77 L 82,458 C 56.08,455.94 28,455 0,455 H -15 Z"/>
<line class="grain" x1="30" y1="130" x2="30" y2="420"/>
<path id="edge-neck" class="edge neck" d="M 0,86 C 40,86 55.16,40.65 72,0"/>
<path id="edge-armhole" class="edge armhole" d="M 185.64,47.07 C 169.57,85.87 172,116 172,158 C 172,208 214,243 260,242"/>
<path id="edge-side" class="edge side" data-allowance="15mm" d="M 260,242 L 262,293.96 L 256.2,319.79 L 239.35,461.04"/>
<path id="edge-waist" class="edge waist" data-allowance="20mm" d="M 239.35,461.04 C 199.35,460.04 150.82,453.97 111,457.77 L 82,458 C 56.08,455.94 28,455 0,455 H -15"/>
<polyline class="dart" points="262,293.96 120.37,275.7 256.2,319.79"/>
<polyline class="dart" points="82,458 95.18,292 111,457.77"/>
</g></svg>`

// dartedSkirt has a dart that goes down beyond its middle.
const dartedSkirt = `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="700mm" viewBox="0 0 400 700">
<g id="skirt">
<path class="seam" d="M 0,0 H 300 V 600 H 0 Z"/>
<path class="grain" d="M 30,100 V 500"/>
<path class="edge waist" d="M 0,0 H 300"/>
<polyline class="dart" points="140,0 155,400 170,0"/>
</g></svg>`

// Of plans with one seam the one that takes darts in comes first, and one that
// crosses a dart last; where nothing else will do it is said how to sew it.
func TestPlanMindsDarts(t *testing.T) {
	for name, c := range map[string]struct {
		pattern        string
		longer, lower  string // the two scraps, in cm along the grain
		args           []string
		taken, crossed int
	}{
		"both are in reach":          {dartedFront, "34", "22", nil, 2, 0},
		"no reach, so clear of both": {dartedFront, "34", "22", []string{"--dart-reach", "0mm"}, 0, 0},
		"clear of both":              {dartedFront, "38", "17.5", nil, 0, 0},
		"nothing but across":         {dartedSkirt, "33", "32.5", nil, 0, 1},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			write(t, dir, "pattern.svg", c.pattern)
			write(t, dir, "scraps.csv", "name,length_cm,width_cm,face\nlong,"+c.longer+",32,both\nlow,"+c.lower+",32,both\n")
			ran := found(t, dir, append([]string{"plan", "pattern.svg", "scraps.csv", "-o", "out", "--time", "60s"}, c.args...)...)
			o := provedPlan(t, filepath.Join(dir, "out"))
			require.Equal(t, 1, o.Seams)
			require.Equal(t, c.taken, o.DartsTakenIn)
			crosses := o.PiecingSeams[0].Crosses
			require.Len(t, crosses, c.crossed)
			report, err := os.ReadFile(filepath.Join(dir, "out", "report.html"))
			require.NoError(t, err)
			for _, words := range []string{"seam A crosses the dart from the waist of skirt", "Now sew the dart from the waist of skirt, across A"} {
				if c.crossed > 0 {
					require.Contains(t, string(report), words)
				}
			}
			if c.crossed > 0 {
				require.Contains(t, strings.Join(strings.Fields(ran.stdout), " "), "seam A crosses the dart from the waist of skirt: sew A first")
			}
			require.Equal(t, c.crossed > 0, hasTerm(o, "crosses a dart"))
			require.Equal(t, c.taken > 0, hasTerm(o, "darts taken in"))
		})
	}
}

func hasTerm(o plan.Option, name string) bool {
	for _, term := range o.Cost {
		if term.Name == name {
			return true
		}
	}
	return false
}

// The bust dart lies at a slant to a yoke, so that its point moves further
// along the yoke than the yoke is away: 15 mm of reach are 9 mm above it.
func TestDartReachIsHowFarThePointMoves(t *testing.T) {
	dir := t.TempDir()
	write(t, dir, "front.svg", dartedFront)
	for yoke, c := range map[string]struct {
		reach string
		taken int
	}{
		"267mm": {"15mm", 1}, // the legs are as good as equal there
		"266mm": {"15mm", 0},
		"269mm": {"8mm", 1},
		"268mm": {"8mm", 0},
	} {
		t.Run(yoke+" reach "+c.reach, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out")
			found(t, dir, "split", "front.svg", "--piece", "front", "--yoke", yoke, "--dart-reach", c.reach, "-o", out)
			require.Equal(t, c.taken, provedPlan(t, out).DartsTakenIn)
		})
	}
}
