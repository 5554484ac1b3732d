package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// nice is a pattern of a flag, 220 by 300 mm with its allowance, two pocket bags
// that would be nice, 120 by 170, and a streamer of 30 by 470.
func nice(facts string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
<g id="flag"><path class="seam" d="M 0,0 H 200 V 280 H 0 Z"/><path class="grain" d="M 50,40 V 80"/><path class="edge hoist" d="M 0,0 V 280" data-joins="streamer/end"/></g>
<g id="bag" data-cut="2" data-mirrored="yes" ` + facts + `><path class="seam" d="M 300,0 H 400 V 150 H 300 Z"/><path class="grain" d="M 350,40 V 80"/><circle class="notch" cx="350" cy="0" r="0.1"/></g>
<g id="streamer" ` + facts + `><path class="seam" d="M 500,0 H 510 V 450 H 500 Z"/><path class="grain" d="M 505,40 V 80"/><path class="edge end" d="M 500,0 V 280"/></g>
</svg>`
}

// of says which copies of which pieces an option cuts.
func of(o *plan.Option) string {
	var out []string
	for _, p := range o.Parts {
		out = append(out, fmt.Sprint(p.Piece, p.Copy))
	}
	return strings.Join(out, " ")
}

func TestOptionalPieces(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "nice.svg", nice(`data-optional="yes"`))
	plain := found(t, dir, "plan", "nice.svg", "--scrap", "linen: 22.5 x 30.5 cm", "-o", "tight", "--options", "1")
	require.Contains(t, strings.Join(strings.Fields(plain.stdout), " "), "optional: no room was found for bag (right), bag (left), streamer")
	require.Equal(t, "flag1", of(&planIn(t, filepath.Join(dir, "tight")).Options[0]))

	// One bag goes beside it, the other does not; the streamer goes on the rag.
	r := found(t, dir, "plan", "nice.svg", "--scrap", "linen: 35 x 30.5 cm", "--scrap", "rag: 5 x 60 cm", "-o", "one", "--options", "1")
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "optional: bag (right), streamer cut from what is left; no room was found for bag (left)")
	d := planIn(t, filepath.Join(dir, "one"))
	require.Equal(t, "flag1 streamer1 bag1", of(&d.Options[0]))
	require.Equal(t, []string{"linen", "rag", "linen"}, []string{d.Options[0].Parts[0].Scrap, d.Options[0].Parts[1].Scrap, d.Options[0].Parts[2].Scrap})
	require.Len(t, d.Pieces, 4)
	report := tree(t, filepath.Join(dir, "one"))["report.html"]
	require.Contains(t, report, "Optional pieces, cut from what the others leave: bag (right), streamer. No room was found for bag (left).")

	// With room for all, all are cut, and the flag has what it would have without them.
	found(t, dir, "plan", "nice.svg", "--scrap", "linen: 60 x 80 cm", "-o", "all", "--options", "1")
	write(t, dir, "flag.svg", flag)
	found(t, dir, "plan", "flag.svg", "--scrap", "linen: 60 x 80 cm", "-o", "alone", "--options", "1")
	all, alone := planIn(t, filepath.Join(dir, "all")), planIn(t, filepath.Join(dir, "alone"))
	require.Equal(t, "flag1 bag1 bag2 streamer1", of(&all.Options[0]))
	require.Equal(t, alone.Options[0].Parts[0].Placement, all.Options[0].Parts[0].Placement)
	require.Equal(t, alone.Options[0].Cost, all.Options[0].Cost)
	require.Equal(t, alone.Fewest, all.Fewest)
	require.Len(t, all.Options[0].Joins, 1)

	// Cloth that the pieces may not come from is no room.
	write(t, dir, "nice.svg", nice(`data-optional="yes" data-fabric="silk"`))
	found(t, dir, "plan", "-q", "nice.svg", "--scrap", "linen: 60 x 80 cm", "-o", "other", "--options", "1")
	require.Equal(t, "flag1", of(&planIn(t, filepath.Join(dir, "other")).Options[0]))

	// A wish that the plan keeps is kept with them.
	write(t, dir, "nice.svg", nice(`data-optional="yes"`))
	args := []string{"plan", "-q", "nice.svg", "--scrap", "linen: 60 x 80 cm", "-o", "wished", "--options", "1", "--wish"}
	found(t, dir, append(args, "linen only for flag, streamer")...)
	d = planIn(t, filepath.Join(dir, "wished"))
	require.Equal(t, "flag1 streamer1", of(&d.Options[0]))
	require.True(t, d.Options[0].Wishes[0].Kept)
	args = append(args, "bag unlike flag")
	found(t, dir, append(args, "--scrap", "rag: 13 x 18 cm")...)
	d = planIn(t, filepath.Join(dir, "wished"))
	require.True(t, d.Options[0].Wishes[0].Kept)

	write(t, dir, "nice.svg", shape("bag", "M 0,0 H 200 V 280 H 0 Z", `data-optional="yes"`))
	refused(t, dir, []string{"plan", "nice.svg", "--scrap", "linen: 60 x 80 cm"}, "is optional", "eke rest SCRAPS --also PATTERN")
	write(t, dir, "nice.svg", shape("bag", "M 0,0 H 200 V 280 H 0 Z", `data-optional="perhaps"`))
	refused(t, dir, []string{"plan", "nice.svg", "--scrap", "linen: 60 x 80 cm"}, "optional: perhaps: it is neither yes nor no")
}

// Optional copies from unlike cloth cost no points, and the table and the report say so.
// Where no scrap says what it looks like, all are one cloth.
func TestOptionalPiecesInUnlikeLooks(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "nice.svg", nice(`data-optional="yes"`))
	const said, heading = "in unlike looks: bag: one from linen, another from rag", "name,length_cm,width_cm,fabric\n"
	for rows, want := range map[string]bool{
		heading + "a,30.5,22.5,linen\nb,18,13,linen\nc,18,13,rag\n":   true,
		heading + "a,30.5,22.5,linen\nb,18,13,linen\nc,18,13,linen\n": false,
		heading + "linen,30.5,36,\nrag,18,13,\n":                      false,
	} {
		write(t, dir, "pile.csv", rows)
		r := found(t, dir, "plan", "nice.svg", "pile.csv", "-o", "out", "--options", "1")
		require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "bag (right), bag (left) cut from what is left")
		require.Equal(t, want, strings.Contains(strings.Join(strings.Fields(r.stdout), " "), said), rows)
		require.Equal(t, want, strings.Contains(tree(t, filepath.Join(dir, "out"))["report.html"], "In unlike looks: bag: one from linen, another from rag."), rows)
	}
}

// What hangs together by joins is of one kind, the optional pieces too.
func TestOptionalPiecesKeepKnitAndWovenApart(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "nice.svg", nice(`data-optional="yes"`))
	write(t, dir, "pile.csv", "name,length_cm,width_cm,kind\nsheet,30.5,22.5,woven\njersey,80,60,knit\n")
	found(t, dir, "plan", "-q", "nice.svg", "pile.csv", "-o", "out", "--options", "2")
	d := planIn(t, filepath.Join(dir, "out"))
	for _, o := range d.Options {
		kind := map[string]string{}
		for _, p := range o.Parts {
			kind[p.Piece] = p.Scrap
		}
		require.Equal(t, "jersey", kind["bag"], "it is sewn to nothing")
		if kind["flag"] == "sheet" {
			require.Empty(t, kind["streamer"])
		} else {
			require.Equal(t, "jersey", kind["streamer"])
		}
	}
}

// A wish about a piece that may be left out is kept where it is; of one that is cut
// already nothing is known, and no line is carried to either.
func TestWishesAboutPiecesThatMayNotBeCut(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	write(t, dir, "nice.svg", nice(`data-optional="yes"`))
	plan := func(wish string, more ...string) []string {
		return append([]string{"plan", "nice.svg", "--scrap", "linen: 23 x 31 cm", "--scrap", "rag: 12.5 x 18 cm", "-o", "out", "--options", "1", "--wish", wish}, more...)
	}
	r := found(t, dir, plan("bag like flag")...)
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "wish: bag like flag: kept: bag is not cut")
	require.Equal(t, "flag1", of(&planIn(t, filepath.Join(dir, "out")).Options[0]))
	found(t, dir, plan("bag unlike flag")...)
	require.Equal(t, "flag1 bag1", of(&planIn(t, filepath.Join(dir, "out")).Options[0]))
	found(t, dir, plan("prefer bag like flag")...)
	require.Equal(t, "flag1 bag1", of(&planIn(t, filepath.Join(dir, "out")).Options[0]))
	r = found(t, dir, "plan", "nice.svg", "--scrap", "linen: 23 x 18 cm", "--scrap", "cord: 23 x 18 cm", "-o", "out", "--options", "1", "--wish", "prefer bag like flag")
	require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "prefer bag like flag: kept: bag is not cut", "though the flag is in two looks")
	require.NoError(t, os.RemoveAll(filepath.Join(dir, "out")))
	refused(t, dir, plan("carry flag to streamer"), "streamer is optional")
	for _, w := range []string{"bag alike", "bag like flag", "flag unlike bag", "prefer bag like flag", "carry bag", "bag upper linen, lower rag"} {
		refused(t, dir, plan(w, "--cut", "bag"), "bag is cut already")
	}
}

// A piece that is ready takes no cloth, and is sewn to the others.
func TestReadyPieces(t *testing.T) {
	t.Parallel()
	for _, fact := range []string{`data-ready="yes"`, `data-cut="0"`} {
		dir := t.TempDir()
		write(t, dir, "nice.svg", strings.Replace(nice(fact), `id="bag" data-cut="2" data-mirrored="yes" `+fact, `id="bag"`, 1))
		r := found(t, dir, "plan", "nice.svg", "--scrap", "linen: 23 x 60 cm", "-o", "out", "--options", "1")
		require.Contains(t, strings.Join(strings.Fields(r.stdout), " "), "cut already, so that no cloth is taken and no seam moved: streamer")
		d := planIn(t, filepath.Join(dir, "out"))
		require.Equal(t, "flag1 bag1", of(&d.Options[0]))
		require.Len(t, d.Options[0].Joins, 1)
		require.Contains(t, strings.Join(d.Options[0].SewingOrder, " "), "streamer")
		ready := ""
		for _, p := range d.Pieces {
			if p.Ready {
				ready += p.Name
			}
		}
		require.Equal(t, "streamer", ready)
	}
	dir := t.TempDir()
	write(t, dir, "nice.svg", nice(""))
	scrap := []string{"--scrap", "linen: 23 x 60 cm", "-o", "out"}
	found(t, dir, append([]string{"plan", "-q", "nice.svg", "--cut", "Bag, streamer"}, scrap...)...)
	d := planIn(t, filepath.Join(dir, "out"))
	require.Equal(t, "flag1", of(&d.Options[0]))
	require.Len(t, d.Pieces, 4)
	refused(t, dir, append([]string{"plan", "nice.svg", "--cut", "flag, bags"}, scrap...), "--cut bags: the pattern has no such piece; it has flag, bag, streamer")
	refused(t, dir, append([]string{"plan", "nice.svg", "--cut", "flag,bag,streamer"}, scrap...), "every piece is ready")
	write(t, dir, "flag.svg", shape("flag", "M 0,0 H 200 V 280 H 0 Z", `data-ready="yes"`))
	refused(t, dir, []string{"plan", "flag.svg", "--scrap", "linen: 23 x 60 cm"}, "every piece is ready")
}
