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
	"eke/cmd/words"
	"eke/piece"
	"eke/piece/curve"
	"eke/svg"
	"eke/svg/draw"

	"github.com/paulmach/orb"
)

// ownTitle is what a file of scraps says of itself that the table has written, and may
// write again.
const ownTitle = "Scraps as told on the cutting table"

// told is what a maker says of a scrap, as a form has it.
type told struct {
	Name   string `json:"name"`
	Fabric string `json:"fabric"`
	Look   string `json:"look"`
	Kind   string `json:"kind"`
	Nap    bool   `json:"nap"`
	Both   bool   `json:"both"` // faces
}

// to writes down what is told.
func (t told) to(s *piece.Scrap) error {
	name := strings.TrimSpace(t.Name)
	switch {
	case name == "":
		return errors.New("give the scrap a name")
	case !slices.Contains([]string{"", "knit", "woven"}, t.Kind):
		return errors.New("kind: give knit or woven, or neither where you do not know")
	}
	s.Name, s.Fabric, s.Look, s.Kind = name, strings.TrimSpace(t.Fabric), strings.TrimSpace(t.Look), t.Kind
	s.Nap, s.BothFaces = t.Nap, t.Both
	return nil
}

// tell takes down what a maker says of one scrap, and writes all scraps of its file
// anew.
func (b *bench) tell(r *http.Request) error {
	form := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	k := b.fileAt(form("file"))
	at, err := strconv.Atoi(form("at"))
	if k < 0 || err != nil || at < 0 || at >= len(b.laid.files[k].drawn) {
		return errors.New("that scrap is no longer on the table")
	}
	pile := b.laid.files[k].apart()
	s := &pile[at]
	turn, err := strconv.ParseFloat(form("grain"), 64)
	if err != nil || !(math.Abs(turn) <= 180) {
		return errors.New("grain: give degrees from upright, from -180 to 180, clockwise")
	}
	err = told{form("name"), form("fabric"), form("look"), form("kind"), form("nap") != "", form("both") != ""}.to(&s.Scrap)
	if err != nil {
		return err
	}
	if form("grain") != turnOf(s.GrainDeg) {
		s.GrainDeg, s.Grain = 90+turn, curve.Segment{}
	}
	return b.writeScraps(k, pile)
}

// turnOf is a grain in degrees clockwise from upright.
func turnOf(grainDeg float64) string {
	return strconv.FormatFloat(math.Round(10*math.Remainder(grainDeg-90, 360))/10, 'f', -1, 64)
}

// fileAt is which of the files of scraps that can be read has a name, or -1.
func (b *bench) fileAt(name string) int {
	return slices.IndexFunc(b.laid.files, func(f scrapFile) bool { return f.name == name && f.refused == nil })
}

// writeScraps writes the scraps of a file anew, as scraps.svg, and lays that on the
// table in the file's place. The lock is held.
func (b *bench) writeScraps(k int, pile []piece.DrawnScrap) error {
	f := b.laid.files[k]
	name, err := b.ownFile(b.scraps[k])
	if err != nil {
		return err
	}
	if name != f.name { // it may be in another folder
		f.grounds = slices.Clone(f.grounds)
		for i := range f.grounds {
			f.grounds[i].File = f.beside(f.grounds[i].File)
		}
	}
	if _, err := f.readBack(pile); err != nil {
		return err
	}
	if err := job.WriteOver(b.path(name), isOwn, "was not written here", f.drawing(pile)); err != nil {
		return err
	}
	b.scraps = slices.Clone(b.scraps)
	b.scraps[k] = name
	b.look()
	return nil
}

// drawing draws scraps in the place of those of a file.
func (f *scrapFile) drawing(pile []piece.DrawnScrap) func(io.Writer) error {
	return func(w io.Writer) error {
		return draw.DrawnPile(w, ownTitle, "Every scrap with its outline, holes and grain, and what is known of its cloth.", pile, f.grounds)
	}
}

// readBack is scraps as they will be read, before they take the place of those of a
// file.
func (f *scrapFile) readBack(pile []piece.DrawnScrap) ([]piece.DrawnScrap, error) {
	var out strings.Builder
	if err := f.drawing(pile)(&out); err != nil {
		return nil, err
	}
	read, _, err := svg.ReadDrawnScraps(strings.NewReader(out.String()), "scraps.svg")
	var e *piece.Error
	if errors.As(err, &e) { // the file and the element are the page's own business
		err = fmt.Errorf("%s: %s", e.Piece, e.Problem)
		if e.Piece == "" {
			err = errors.New(e.Problem)
		}
		if e.Cure != "" {
			err = fmt.Errorf("%w; %s", err, e.Cure)
		}
		err = errors.New(words.OneLine(err))
	}
	return read, err
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

// apart is the scraps of a file moved so that none lies on another: in a list each has
// its corner at the origin. A drawing stays as it was drawn.
func (f *scrapFile) apart() []piece.DrawnScrap {
	const gapMM, rowMM = 30, 2000
	out := slices.Clone(f.drawn)
	if job.IsDrawing(f.name) {
		return out
	}
	x, y, deep := 0.0, 0.0, 0.0
	for i := range out {
		box := out[i].Outline.Bound()
		w, h := size(box)
		if x > 0 && x+w > rowMM {
			x, y, deep = 0, y+deep+gapMM, 0
		}
		out[i] = out[i].Moved(orb.Point{x - box.Min[0], y - box.Min[1]})
		x, deep = x+w+gapMM, max(deep, h)
	}
	return out
}
