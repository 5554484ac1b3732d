package table

import (
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"

	"eke/cmd/job"
	"eke/piece"
	"eke/svg"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// ownTitle is what a file of scraps says of itself that the table has written, and may
// write again.
const ownTitle = "Scraps as told on the cutting table"

// tell takes down what a maker says of one scrap, writes all scraps of its file anew,
// as scraps.svg, and lays that on the table in the file's place.
func (b *bench) tell(r *http.Request) error {
	form := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	k := slices.IndexFunc(b.laid.files, func(f scrapFile) bool { return f.name == form("file") && f.refused == nil })
	at, err := strconv.Atoi(form("at"))
	if k < 0 || err != nil || at < 0 || at >= len(b.laid.files[k].scraps) {
		return errors.New("that scrap is no longer on the table")
	}
	pile := apart(b.laid.files[k].scraps)
	s := &pile[at]
	turn, err := strconv.ParseFloat(form("grain"), 64)
	switch {
	case form("name") == "":
		return errors.New("give the scrap a name")
	case err != nil || !(math.Abs(turn) <= 180):
		return errors.New("grain: give degrees from upright, from -180 to 180, clockwise")
	case !slices.Contains([]string{"", "knit", "woven"}, form("kind")):
		return errors.New("kind: give knit or woven, or neither where you do not know")
	}
	s.Name, s.Fabric, s.Look, s.Kind = form("name"), form("fabric"), form("look"), form("kind")
	s.Nap, s.BothFaces = form("nap") != "", form("both") != ""
	s.GrainDeg = 90 + turn
	write := func(w io.Writer) error {
		return draw.Pile(w, ownTitle, "Every scrap with its outline, holes and grain, and what is known of its cloth.", pile)
	}
	var out strings.Builder
	if err := write(&out); err != nil {
		return err
	}
	// What is written is read back before it takes the old file's place.
	if _, err := svg.ReadScraps(strings.NewReader(out.String()), "scraps.svg"); err != nil {
		return err
	}
	name, err := b.ownFile(b.scraps[k])
	if err != nil {
		return err
	}
	if err := job.WriteOver(b.path(name), isOwn, "was not written here", write); err != nil {
		return err
	}
	b.scraps = slices.Clone(b.scraps)
	b.scraps[k] = name
	b.look()
	return nil
}

func isOwn(was string) bool { return strings.Contains(was, "<title>"+ownTitle+"</title>") }

// ownFile is the file that the scraps of another are written to: that one where the
// table wrote it, or one that no other lies under.
func (b *bench) ownFile(of string) (string, error) {
	if was, err := os.ReadFile(b.path(of)); err == nil && isOwn(string(was)) {
		return of, nil
	}
	for n := 1; n <= 1000; n++ {
		name := "scraps.svg"
		if n > 1 {
			name = fmt.Sprintf("scraps-%d.svg", n)
		}
		if _, err := b.root.Lstat(name); errors.Is(err, os.ErrNotExist) {
			return name, nil
		}
	}
	return "", errors.New("there are too many files called scraps.svg; move some away")
}

// apart is scraps moved so that none lies on another: in a list each has its corner
// at the origin.
func apart(scraps []piece.Scrap) []piece.Scrap {
	const gapMM, rowMM = 30, 2000
	out := slices.Clone(scraps)
	over := false
	for i := range out {
		for k := range i {
			over = over || out[i].Outline.Bound().Intersects(out[k].Outline.Bound())
		}
	}
	if !over {
		return out
	}
	x, y, deep := 0.0, 0.0, 0.0
	for i := range out {
		box := out[i].Outline.Bound()
		w, h := size(box)
		if x > 0 && x+w > rowMM {
			x, y, deep = 0, y+deep+gapMM, 0
		}
		move := func(ring orb.Ring) orb.Ring {
			moved := make(orb.Ring, len(ring))
			for k, q := range ring {
				moved[k] = orb.Point{q[0] - box.Min[0] + x, q[1] - box.Min[1] + y}
			}
			return moved
		}
		out[i].Outline = move(out[i].Outline)
		holes := make([]orb.Ring, len(out[i].Holes))
		for k, h := range out[i].Holes {
			holes[k] = move(h)
		}
		out[i].Holes = holes
		x, deep = x+w+gapMM, max(deep, h)
	}
	return out
}
