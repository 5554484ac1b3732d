package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/cmd/job"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// flags is a pattern of two flags of navy, 220 by 300 mm each with allowance,
// and a pile that has a row too few.
func flags(t testing.TB, dir string, rows ...string) {
	write(t, dir, "flags.svg", shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-cut="2"`, `data-fabric="navy"`))
	write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm,count,kind\n"+strings.Join(rows, "\n")+"\n")
}

func planIn(t testing.TB, dir string) *plan.Document {
	t.Helper()
	d, err := job.ReadPlan(filepath.Join(dir, "plan.json"))
	require.NoError(t, err)
	return d
}

// Without a plan the maker is told what she needs, what she has, what can be
// cut of it, and what to look for; which then makes a plan, and a centimetre
// less does not.
func TestWhatIsMissingIsTold(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	flags(t, dir, "big,navy,31,23,1,knit", "strip,navy,8,23,1,knit", "red,red,90,90,1,knit")
	args := []string{"plan", "flags.svg", "pile.csv", "--max-seams", "0", "-o", "out"}
	r := eke(t, dir, args...)
	require.Equal(t, exitNothing, r.code, r.stderr)
	said := oneRow(r.stdout)
	for _, want := range []string{
		"no plan was found each piece fits some scrap by itself, but no way was found to cut all of them together",
		"flag navy 0.13 m² 0.09 m²",
		"a plan for 1 of 2 pieces, 0 piecing seams; it leaves over: flag (2)",
		"flag-1 big",
		"navy knit, at least 30 x 22 cm (length x width), would do",
	} {
		require.Contains(t, said, want)
	}
	require.NotContains(t, said, "--max-seams 0 stands in the way")

	quiet := eke(t, dir, "plan", "flags.svg", "pile.csv", "--max-seams", "0", "--quiet", "--time", "1s")
	require.Equal(t, exitNothing, quiet.code)
	require.Equal(t, "no plan was found\n", quiet.stdout)

	require.Empty(t, verified(t, filepath.Join(dir, "out")).Options)
	for name := range tree(t, dir) {
		require.NotContains(t, name, "option")
	}
	d := planIn(t, filepath.Join(dir, "out"))
	require.True(t, d.FitAlone)
	require.Equal(t, []plan.CopyOf{{Piece: "flag", Copy: 2}}, d.Partial.LeftOver)
	require.InDelta(t, 2*220*300, d.Cloth[0].NeededMM2, 1)
	require.InDelta(t, 310*230+80*230, d.Cloth[0].HeldMM2, 1)
	require.Equal(t, []plan.Held{{Fabric: "navy", Kind: "knit", AreaMM2: d.Cloth[0].HeldMM2}}, d.Cloth[0].Held)

	// The partial plan holds by itself against all rules of a plan.
	part := filepath.Join(dir, "part")
	require.NoError(t, os.Mkdir(part, 0o755))
	var b strings.Builder
	require.NoError(t, d.PartialPlan().Write(&b))
	write(t, part, "plan.json", b.String())
	require.Len(t, verified(t, part).Options, 1)

	report, err := os.ReadFile(filepath.Join(dir, "out", "report.html"))
	require.NoError(t, err)
	for _, want := range []string{"A plan for some of the pieces only", "It does not make the garment:", "at least <b>30 x 22 cm</b>", `class="laid-part"`} {
		require.Contains(t, string(report), want)
	}

	var j struct {
		Options []any
		WouldDo []struct {
			Cloth []struct {
				Fabric, Kind string
				Length       float64 `json:"length_mm"`
				Width        float64 `json:"width_mm"`
			}
		} `json:"would_do"`
		Partial struct{ Option struct{ Parts []any } }
	}
	r = eke(t, dir, append(args, "--json")...)
	require.Equal(t, exitNothing, r.code)
	require.NoError(t, json.Unmarshal([]byte(r.stdout), &j))
	require.Empty(t, j.Options)
	require.Len(t, j.Partial.Option.Parts, 1)
	require.Len(t, j.WouldDo, 1)
	c := j.WouldDo[0].Cloth[0]
	for cut, code := range map[[2]float64]int{{0, 0}: 0, {10, 0}: exitNothing, {0, 10}: exitNothing} {
		flags(t, dir, "big,navy,31,23,1,knit", "strip,navy,8,23,1,knit", "red,red,90,90,1,knit", fmt.Sprintf("more,%s,%g,%g,1,%s", c.Fabric, (c.Length-cut[0])/10, (c.Width-cut[1])/10, c.Kind))
		require.Equal(t, code, eke(t, dir, append(args, "--time", "3s")...).code, cut)
	}
}

// Where a piece has no cloth at all, no time would help, and none is asked for.
func TestAPieceWithoutCloth(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "bag.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
<g id="panel" data-cut="2" data-fabric="canvas"><path class="seam" d="M 0,0 H 320 V 320 Q 320,350 290,350 H 30 Q 0,350 0,320 Z"/><path class="grain" d="M 50,40 V 80"/></g>
<g id="strap" data-cut="2" data-fabric="canvas"><path class="seam" d="M 0,0 H 60 V 600 H 0 Z"/><path class="grain" d="M 30,40 V 80"/></g>
<g id="pocket" data-fabric="denim"><path class="seam" d="M 0,0 H 180 V 160 H 0 Z"/><path class="grain" d="M 50,40 V 80"/></g></svg>`)
	r := eke(t, dir, "plan", "bag.svg", "--scrap", "canvas: 50 x 90 cm", "--time", "5s")
	require.Equal(t, exitNothing, r.code, r.stderr)
	said := oneRow(r.stdout)
	require.Contains(t, said, "pocket no scrap of its fabric")
	require.NotContains(t, said, "stopped before it was done")
}

// That more seams would do is said when a plan with that many was found, which
// then is there to be had.
func TestMaxSeamsInTheWay(t *testing.T) {
	dir := t.TempDir()
	flags(t, dir, "half,navy,17,23,4,woven")
	r := eke(t, dir, "plan", "flags.svg", "pile.csv", "--max-seams", "1", "-o", "out")
	require.Equal(t, exitNothing, r.code, r.stderr)
	require.Contains(t, oneRow(r.stdout), "--max-seams 1 stands in the way: there is a plan with 2 piecing seams, 400 mm long together; give --max-seams 2")
	require.Equal(t, &plan.Seams{Allowed: 1, Seams: 2, LengthMM: 400}, planIn(t, filepath.Join(dir, "out")).MoreSeams)
	found(t, dir, "plan", "flags.svg", "pile.csv", "--max-seams", "2")

	flags(t, dir, "scrap,navy,9,9,1,woven")
	r = eke(t, dir, "plan", "flags.svg", "pile.csv", "--max-seams", "1", "-o", "out")
	require.Equal(t, exitNothing, r.code, r.stderr)
	require.NotContains(t, r.stdout, "in the way")
}

// Rows that the time did not reach are said to be not checked, and nothing is
// said of all pieces.
func TestNothingIsClaimedThatWasNotChecked(t *testing.T) {
	dir := t.TempDir()
	var pieces, pile strings.Builder
	const many = 300
	for i := range many {
		fmt.Fprintf(&pieces, `<g id="p%d"><path class="seam" d="M 0,0 C 200,%d 300,-40 400,0 L 380,300 Q 100,200 10,280 Z"/><path class="grain" d="M 50,40 V 80"/></g>`, i, 10+i%97)
		fmt.Fprintf(&pile, "s%d,,%d,%d,1\n", i, 20+i%13, 18+i%17)
	}
	write(t, dir, "many.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">`+pieces.String()+`</svg>`)
	write(t, dir, "pile.csv", "name,fabric,length_cm,width_cm,count\n"+pile.String())
	r := eke(t, dir, "plan", "many.svg", "pile.csv", "--time", "100ms", "-o", "out")
	require.Equal(t, exitNothing, r.code, r.stderr)
	require.Contains(t, r.stdout, "not checked")
	require.Contains(t, oneRow(r.stdout), "there was no time to check the rows that say so")
	require.NotContains(t, r.stdout, "fits some scrap")
	d := planIn(t, filepath.Join(dir, "out"))
	require.False(t, d.FitAlone)
	rows := map[string]bool{}
	for _, s := range d.Short {
		rows[s.Piece] = true
		require.True(t, !s.NotChecked || s.Scrap == "" && s.AlongMM == 0 && s.AcrossMM == 0)
	}
	require.Len(t, rows, many)
	report, err := os.ReadFile(filepath.Join(dir, "out", "report.html"))
	require.NoError(t, err)
	require.Contains(t, string(report), "not checked")
	require.NotContains(t, string(report), "fits some scrap")
}

// A copy that is left over has the name that its parts would have.
func TestWhatIsLeftOverIsNamedByItsSide(t *testing.T) {
	d := &plan.Document{
		Pieces: []plan.Piece{
			{Name: "front", Copy: 1}, {Name: "sleeve", Copy: 1, Side: "right"}, {Name: "sleeve", Copy: 2, Side: "left"},
			{Name: "cuff", Copy: 1}, {Name: "cuff", Copy: 2},
		},
		Partial: &plan.Partial{LeftOver: []plan.CopyOf{{Piece: "front", Copy: 1}, {Piece: "sleeve", Copy: 2}, {Piece: "cuff", Copy: 2}}},
	}
	require.Equal(t, "front, sleeve (left), cuff (2)", leftOver(d))
}

// Wishes that stand in the way together are told to be given up together.
func TestWishesInTheWayTogether(t *testing.T) {
	d := &plan.Document{After: "out/option-1", Unkept: []plan.Unkept{{Text: "front alike"}, {Text: "back alike", Without: &plan.Seams{}}}}
	var b strings.Builder
	require.NoError(t, new(show).missing(&b, d))
	said := strings.Join(strings.Fields(b.String()), " ")
	require.Contains(t, said, `without all of these there is a plan with no piecing seam: give --wish "prefer front alike" --wish "prefer back alike", and they are no musts`)
	require.NotContains(t, said, "without it there is a plan")
}
