package table

import (
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"eke/cmd/job"
	"eke/piece/race"
	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// shirtLaidOut is the t-shirt sample and its scraps on a table.
func shirtLaidOut(t testing.TB) (*Table, *visitor, string) {
	t.Helper()
	files := map[string]string{}
	for name, from := range map[string]string{"p.svg": "tshirt.svg", "s.csv": "scraps.csv"} {
		text, err := os.ReadFile(filepath.Join("..", "..", "samples", from))
		require.NoError(t, err)
		files[name] = string(text)
	}
	made, dir := laidOut(t, 0, files, "p.svg", "s.csv")
	return made, visit(t, made), dir
}

// hand asks for what is made by hand, by a change where there are fields.
func (v *visitor) hand(path string, fields ...string) (h handView) {
	v.t.Helper()
	code, body := v.get("/hand")
	if path != "" {
		code, body = v.fill("/hand/"+path, fields...)
	}
	require.Equal(v.t, http.StatusOK, code, body)
	require.NoError(v.t, json.Unmarshal([]byte(body), &h))
	return h
}

// looked asks until all that fits is known; a busy machine may not get there at once.
func (v *visitor) looked() (h handView) {
	v.t.Helper()
	require.Eventually(v.t, func() bool { h = v.hand(""); return !h.Looking }, 60*time.Second, 10*time.Millisecond)
	return h
}

func (h *handView) part(name string) *partView {
	for i := range h.Parts {
		if h.Parts[i].Name == name {
			return &h.Parts[i]
		}
	}
	return nil
}

// Lines are drawn, moved and taken away by hand, and steps go back and forth; two
// pages follow each other, and what is asked wrongly changes nothing.
func TestLinesByHand(t *testing.T) {
	t.Parallel()
	_, v, dir := shirtLaidOut(t)
	first := v.hand("")
	require.NotEmpty(t, first.Stamp)
	require.Len(t, first.Parts, len(first.Copies))
	require.Equal(t, "front", first.Copies[0].Name)
	require.NotEmpty(t, first.Copies[0].Ways)
	require.Len(t, first.Scraps, 11)
	require.NoFileExists(t, filepath.Join(dir, handFile))

	one := v.hand("line", "copy", "0", "part", "front", "way", "straight", "at", "255")
	require.Equal(t, []string{"front-upper", "front-lower"}, one.Copies[0].Parts)
	require.Len(t, one.Copies[0].Lines, 1)
	l := one.Copies[0].Lines[0]
	require.InDelta(t, 255, l.At, 0.05)
	require.Greater(t, one.Version, first.Version)
	require.Equal(t, one.Version, v.state().Hand)
	require.FileExists(t, filepath.Join(dir, handFile))
	require.Contains(t, one.Said, "255 mm")
	fits := one.part("front-upper").Fits
	require.NotEmpty(t, fits)

	var tried tryLine
	code, body := v.get("/hand/try?" + url.Values{"line": {l.ID}, "at": {"300"}}.Encode())
	require.Equal(t, http.StatusOK, code, body)
	require.NoError(t, json.Unmarshal([]byte(body), &tried))
	require.InDelta(t, 300, tried.Line.At, 0.05)
	require.Len(t, tried.Parts, 2)
	require.NotEqual(t, one.part("front-upper").D, tried.Parts[0].D)
	require.Equal(t, one.Version, v.hand("").Version, "trying changes nothing")

	moved := v.hand("move", "line", l.ID, "at", "300")
	require.Equal(t, tried.Parts[0].Seam, moved.part("front-upper").Seam)
	two := v.hand("line", "copy", "0", "part", "front-lower", "way", "panel", "at", "200")
	require.Len(t, two.Copies[0].Parts, 3)
	back := v.hand("undo")
	require.Equal(t, moved.Copies, back.Copies)
	require.Equal(t, two.Copies, v.hand("redo").Copies)
	gone := v.hand("remove", "line", l.ID)
	require.Len(t, gone.Copies[0].Lines, 1, "the lengthwise seam goes on through all of it")
	forward := v.hand("shoulder", "piece", "front", "by", "20")
	require.InDelta(t, 20, forward.Copies[0].Shoulder.By, 1e-9)
	require.Contains(t, forward.Said, "20 mm further forward")

	was := v.hand("")
	for _, bad := range [][]string{
		{"line", "part", "front", "way", "straight", "at", "NaN"}, {"line", "part", "front", "way", "straight", "at", "1e300"}, {"line", "part", "none", "way", "straight", "at", "1"},
		{"line", "part", "front-left", "way", "none", "at", "1"}, {"move", "line", "l99", "at", "1"}, {"move", "line", l.ID, "at", ""}, {"remove", "line", "<img>"}, {"lift", "part", "front"},
		{"place", "part", "back", "scrap", "99", "x", "0", "y", "0"}, {"place", "part", "back", "scrap", "0", "x", "Inf", "y", "0"}, {"place", "part", "back", "scrap", "-1", "x", "0", "y", "0"},
		{"shoulder", "copy", "77", "by", "3"}, {"shoulder", "copy", "0", "by", "1e300"}, {"redo"},
	} {
		code, why := v.fill("/hand/"+bad[0], bad[1:]...)
		require.Equal(t, http.StatusUnprocessableEntity, code, "%v %s", bad, why)
		require.Equal(t, 1, strings.Count(why, "\n"), why)
	}
	for _, bad := range []string{"", "?line=l1", "?line=zz&at=1", "?line=l1&at=NaN", "?part=back&scrap=0&x=1&y=1e300", "?part=none&scrap=0&x=1&y=1", "?copy=0&by=q"} {
		code, why := v.get("/hand/try" + bad)
		require.Equal(t, http.StatusUnprocessableEntity, code, "%v %s", bad, why)
	}
	now := v.hand("")
	require.Equal(t, was.Version, now.Version)
	require.Equal(t, was.Copies, now.Copies)
	cleared := v.hand("clear")
	require.Equal(t, first.Copies, cleared.Copies)
	require.Equal(t, was.Copies, v.hand("undo").Copies)

	// A table set up anew in the folder has it all still.
	again, err := New(Options{Folder: dir, Out: "out", Pattern: "p.svg", Scraps: []string{"s.csv"}}, 0)
	require.NoError(t, err)
	_, plan, err := again.bench.byHand()
	require.NoError(t, err)
	require.Len(t, plan.Lines(0), 2)
	require.NoError(t, again.listener.Close())
}

// settles waits until what was started has ended, and gives the plan that was written.
func (v *visitor) settles(dir string) *plan.Document {
	v.t.Helper()
	require.Eventually(v.t, func() bool { return v.state().Run == nil }, 60*time.Second, 20*time.Millisecond)
	_, body := v.get("/section/plan")
	d, err := job.ReadPlan(filepath.Join(dir, "out", job.PlanFile))
	require.NoError(v.t, err, body)
	require.NotEmpty(v.t, d.Options, body)
	require.Empty(v.t, check.Document(d))
	return d
}

// What she has drawn and laid stays to the last digit when the rest is planned; and a
// plan that is whole by hand is written as any other.
func TestFinishAndWrite(t *testing.T) {
	if race.On {
		t.Skip("slow under the race detector; TestByHandInABrowser has the server and a page side by side there")
	}
	t.Parallel()
	made, v, dir := shirtLaidOut(t)
	fields := []string{"seconds", "15", "options", "2", "allowance", "10 mm", "gap", "3 mm", "sort", "seams"}
	v.hand("line", "part", "front", "way", "straight", "at", "255")
	h := v.looked()
	require.Contains(t, h.part("front-upper").Fits, fitView{Scrap: 1, OK: true})
	require.Contains(t, h.part("front-lower").Fits, fitView{Scrap: 0, OK: true})
	box := h.Scraps[1].Box
	h = v.hand("place", "part", "front-upper", "scrap", "1", "x", fmt.Sprint((box[0]+box[2])/2), "y", fmt.Sprint(box[1]+157))
	require.True(t, h.part("front-upper").On.OK, h.Said)
	code, why := v.fill("/hand/write")
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "lies on no scrap yet")
	h = v.hand("finish", fields...)
	d := v.settles(dir)
	_, was, err := made.bench.byHand()
	require.NoError(t, err)
	record, err := was.Record()
	require.NoError(t, err)
	laid := record.Document().Options[0]
	for _, o := range d.Options {
		for _, p := range laid.Parts {
			if p.Scrap == "" {
				continue
			}
			k := slices.IndexFunc(o.Parts, func(q plan.Part) bool { return q.Name == p.Name })
			require.GreaterOrEqual(t, k, 0)
			require.Equal(t, p.Placement, o.Parts[k].Placement)
			require.Equal(t, p.CutLine, o.Parts[k].CutLine)
			require.False(t, o.Parts[k].IsCut)
		}
		for _, s := range laid.PiecingSeams {
			k := slices.IndexFunc(o.PiecingSeams, func(q plan.PiecingSeam) bool { return q.Name == s.Name })
			require.GreaterOrEqual(t, k, 0)
			require.Equal(t, s.Line, o.PiecingSeams[k].Line)
		}
	}
	require.Contains(t, d.FewestReason, "by hand")

	// The same by hand: each part goes where the plan has it.
	for _, p := range d.Options[0].Parts {
		require.NotNil(t, h.part(p.Name), "a plan needs no more seams than were drawn")
		scrap := slices.IndexFunc(d.Scraps, func(s plan.Scrap) bool { return s.Name == p.Scrap && s.Copy == p.ScrapCopy })
		require.GreaterOrEqual(t, scrap, 0)
		m, at := p.Placement, h.part(p.Name).Handle
		x, y := m[0]*at[0]+m[2]*at[1]+m[4], m[1]*at[0]+m[3]*at[1]+m[5]
		turn := math.Round((math.Atan2(m[1], m[0])*180/math.Pi-d.Scraps[scrap].GrainDeg+p.GrainDeg)*10) / 10
		h = v.hand("place", "part", p.Name, "scrap", fmt.Sprint(scrap), "x", fmt.Sprint(x), "y", fmt.Sprint(y), "turn", fmt.Sprint(turn))
		require.True(t, h.part(p.Name).On.OK, h.Said)
	}
	require.True(t, h.Done)
	v.hand("write")
	d = v.settles(dir)
	require.Len(t, d.Options, 1)
	require.Equal(t, len(h.Parts), len(d.Options[0].Parts))
	require.FileExists(t, filepath.Join(dir, "out", "option-1", "left.svg"))
	code, why = v.fill("/hand/finish", fields...)
	require.Equal(t, http.StatusUnprocessableEntity, code)
	require.Contains(t, why, "nothing is left to be planned")
	for _, bad := range [][]string{{"/hand/finish", "seconds", "0"}, {"/hand/finish"}} {
		code, _ = v.fill(bad[0], bad[1:]...)
		require.Equal(t, http.StatusUnprocessableEntity, code)
	}
}

// Several pages at once: each change is taken whole or refused, and none is lost.
func TestHandsOfSeveralPages(t *testing.T) {
	t.Parallel()
	_, v, _ := shirtLaidOut(t)
	before := v.hand("").Version
	var taken atomic.Int64
	var all sync.WaitGroup
	for k := range 4 {
		all.Go(func() {
			for i := range 3 {
				code, _ := v.fill("/hand/place", "part", []string{"sleeve-left", "sleeve-right"}[k%2], "scrap", "0", "x", fmt.Sprint(150+50*i), "y", fmt.Sprint(200+100*k))
				if code == http.StatusOK {
					taken.Add(1)
				}
				v.get(fmt.Sprintf("/hand/try?part=back&scrap=2&x=300&y=%d", 300+10*i))
				v.get("/state")
			}
		})
	}
	all.Wait()
	h := v.hand("")
	require.Equal(t, int(taken.Load()), h.Version-before)
	require.Equal(t, int(taken.Load()), h.Undo)
	require.NotZero(t, h.Undo)

	// A wish is another thing to plan by, and what was done by hand stays.
	laid := h.part("sleeve-left").On
	code, why := v.fill("/wish", "words", "sleeve alike")
	require.Equal(t, http.StatusNoContent, code, why)
	again := v.hand("")
	require.Greater(t, again.Version, h.Version)
	require.Equal(t, laid, again.part("sleeve-left").On)
	require.Equal(t, h.Undo, again.Undo)
	require.Equal(t, h.Undo-1, v.hand("undo").Undo)
}
