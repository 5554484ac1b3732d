package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"hash/fnv"
	"image"
	_ "image/jpeg" // photographs under scraps
	_ "image/png"
	"io"
	"net/http"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"

	"eke/cmd/words"
	"eke/piece"
	"eke/piece/curve"
	"eke/piece/plane"

	"github.com/paulmach/orb"
)

// drawing is the scraps of one file as the page draws on them. Lengths are mm.
type drawing struct {
	File    string        `json:"file"`
	Stamp   string        `json:"stamp"` // of the file as it was read
	Scraps  []scrapDrawn  `json:"scraps"`
	Grounds []groundDrawn `json:"grounds"`
}

type scrapDrawn struct {
	told
	Of     int        `json:"of"` // which scrap of the file it was, from 0; below that none
	Colour string     `json:"colour,omitempty"`
	Grain  [4]float64 `json:"grain"` // from where to where
	Rim    []corner   `json:"rim"`
	Cuts   []cutDrawn `json:"cuts"`
}

type cutDrawn struct {
	Flaw bool     `json:"flaw"`
	Line []corner `json:"line"`
}

// corner is a point of a closed line: x, y, and where the line from it to the next is
// a curve, that curve's two control points.
type corner []float64

type groundDrawn struct {
	Src string     `json:"src"`
	Box [4]float64 `json:"box"` // x, y, width, height
}

// corners are those of a closed line.
func corners(line curve.Path) []corner {
	out := []corner{}
	for _, s := range line {
		switch {
		case s.Curved:
			out = append(out, corner{s.P0[0], s.P0[1], s.C0[0], s.C0[1], s.C1[0], s.C1[1]})
		case s.P0 != s.P1:
			out = append(out, corner{s.P0[0], s.P0[1]})
		}
	}
	return out
}

// outlineOf is the closed line that some corners make.
func outlineOf(all []corner) (curve.Path, error) {
	if len(all) < 2 {
		return nil, errors.New("a line needs at least three points")
	}
	for _, c := range all {
		if len(c) != 2 && len(c) != 6 {
			return nil, errors.New("a point has two numbers, or six where a curve begins")
		}
	}
	var out curve.Path
	for i, c := range all {
		n := all[(i+1)%len(all)]
		from, to := orb.Point{c[0], c[1]}, orb.Point{n[0], n[1]}
		if len(c) == 6 {
			out = append(out, curve.Cubic(from, orb.Point{c[2], c[3]}, orb.Point{c[4], c[5]}, to))
		} else {
			out = append(out, curve.Line(from, to))
		}
	}
	return out, nil
}

// drawing answers with the scraps of one file.
func (b *bench) drawing(w http.ResponseWriter, r *http.Request) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	b.drawn(w, r.URL.Query().Get("file"))
}

// gone says of a file of scraps that it is not there to be drawn on.
func gone(name string) string {
	return name + " is no longer on the table, or cannot be read; put it back as it was, and draw on it again: what you drew is kept in this tab until then"
}

// drawn writes the drawing of a file. The lock is held.
func (b *bench) drawn(w http.ResponseWriter, name string) {
	k := b.fileAt(name)
	if k < 0 {
		refuse(w, http.StatusNotFound, gone(name))
		return
	}
	f := &b.laid.files[k]
	d := drawing{File: f.name, Stamp: b.stampOfFile(f.name), Scraps: []scrapDrawn{}, Grounds: []groundDrawn{}}
	for i, s := range f.apart() {
		one := scrapDrawn{Of: i, Colour: s.Colour, Rim: corners(s.Rim), Cuts: []cutDrawn{}}
		one.told = told{s.Name, s.Fabric, s.Look, s.Kind, s.Nap, s.BothFaces}
		from, to := s.GrainLine()
		one.Grain = [4]float64{from[0], from[1], to[0], to[1]}
		for _, c := range s.Cutouts {
			one.Cuts = append(one.Cuts, cutDrawn{c.Flaw, corners(c.Line)})
		}
		d.Scraps = append(d.Scraps, one)
	}
	for i, g := range f.grounds {
		src := "/ground?" + url.Values{"file": {f.name}, "at": {strconv.Itoa(i)}}.Encode()
		d.Grounds = append(d.Grounds, groundDrawn{src, [4]float64{g.Box.Min[0], g.Box.Min[1], g.Box.Max[0] - g.Box.Min[0], g.Box.Max[1] - g.Box.Min[1]}})
	}
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(d)
}

// stampOfFile tells a file from what it was before.
func (b *bench) stampOfFile(name string) string {
	data, err := os.ReadFile(b.path(name))
	if err != nil {
		return ""
	}
	h := fnv.New64a()
	_, _ = h.Write(data)
	return strconv.FormatUint(h.Sum64(), 16)
}

// redrawn takes a drawing that the page has changed: it says what is wrong with it,
// and where it is asked to and nothing is, saves it.
func (b *bench) redrawn(w http.ResponseWriter, r *http.Request) {
	data, err := io.ReadAll(r.Body)
	if err != nil {
		answer(w, err)
		return
	}
	var d drawing
	if err := json.Unmarshal(data, &d); err != nil {
		refuse(w, http.StatusBadRequest, "that is no drawing of scraps")
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	k := b.fileAt(d.File)
	switch {
	case k < 0:
		answer(w, errors.New(gone(d.File)))
		return
	case b.stampOfFile(d.File) != d.Stamp:
		answer(w, fmt.Errorf("%s has changed since you began to draw, in another tab or program; close the drawing and open it again to draw on what it is now", d.File))
		return
	}
	f := &b.laid.files[k]
	pile, err := d.pile(f.apart())
	if err == nil {
		err = f.whole(pile)
	}
	if err == nil && r.URL.Query().Has("save") {
		if err = b.writeScraps(k, pile); err == nil {
			b.drawn(w, b.scraps[k])
			return
		}
	}
	answer(w, err)
}

// pile are the scraps of a drawing that was made of others.
func (d *drawing) pile(were []piece.DrawnScrap) ([]piece.DrawnScrap, error) {
	if len(d.Scraps) == 0 {
		return nil, errors.New("no scrap is left; take the file off the table instead")
	}
	var out []piece.DrawnScrap
	for i, one := range d.Scraps {
		s := piece.DrawnScrap{Scrap: piece.Scrap{Count: 1}}
		if one.Of >= 0 && one.Of < len(were) {
			s = were[one.Of]
		}
		was, line := s.Outline, s.Rim.D()
		err := one.to(&s.Scrap)
		if err == nil {
			s.Rim, err = outlineOf(one.Rim)
		}
		if err != nil {
			return nil, fmt.Errorf("scrap %d, %s: %w", i+1, words.Plain(one.Name), err)
		}
		s.Cutouts = nil
		for _, c := range one.Cuts {
			line, err := outlineOf(c.Line)
			if err != nil {
				return nil, fmt.Errorf("a hole of %s: %w", words.Plain(one.Name), err)
			}
			s.Cutouts = append(s.Cutouts, piece.Cutout{Line: line, Flaw: c.Flaw})
		}
		s.Grain = curve.Line(orb.Point{one.Grain[0], one.Grain[1]}, orb.Point{one.Grain[2], one.Grain[3]})
		if plane.Distance(s.Grain.P0, s.Grain.P1) < 1 {
			return nil, fmt.Errorf("%s: the arrow of its grain has no length", words.Plain(one.Name))
		}
		if was != nil && line != s.Rim.D() { // the stripes are where they were on the cloth
			s.Stripe = s.Stripe.On(orb.Ring(s.Rim.Flatten(curve.FlattenMM)), was, s.GrainDeg)
		}
		out = append(out, s)
	}
	return out, nil
}

// whole refuses scraps that cannot be read back, and holes that leave their outline
// where they did not before.
func (f *scrapFile) whole(pile []piece.DrawnScrap) error {
	read, err := f.readBack(pile)
	if err != nil {
		return err
	}
	var bites []string // that she drew elsewhere
	for i := range f.drawn {
		for _, c := range f.drawn[i].Cutouts {
			if c.OverRim {
				bites = append(bites, c.Line.D())
			}
		}
	}
	for i := range read {
		for j, c := range read[i].Cutouts {
			if c.OverRim && !slices.Contains(bites, pile[i].Cutouts[j].Line.D()) {
				word := "hole"
				if c.Flaw {
					word = "flaw"
				}
				return fmt.Errorf("%s: a %s touches or leaves the outline; drag it back in, or draw the outline along it", words.Plain(read[i].Name), word)
			}
		}
	}
	return nil
}

// The largest photograph that is shown under scraps. What the table makes itself is
// much smaller.
const (
	mostGroundBytes  = 32 << 20
	mostGroundPixels = 40_000_000
)

// ground is a photograph that lies under scraps: one that their file names, beside it
// and in the table's folder.
func (b *bench) ground(w http.ResponseWriter, r *http.Request) {
	b.mu.Lock()
	k := b.fileAt(r.URL.Query().Get("file"))
	at, err := strconv.Atoi(r.URL.Query().Get("at"))
	name := ""
	if k >= 0 && err == nil && at >= 0 && at < len(b.laid.files[k].grounds) {
		f := &b.laid.files[k]
		name = f.beside(f.grounds[at].File)
	}
	b.mu.Unlock()
	data, kind, err := b.picture(name)
	if err != nil {
		refuse(w, http.StatusNotFound, "there is no such photograph, or it cannot be shown")
		return
	}
	w.Header().Set("Content-Type", "image/"+kind)
	_, _ = w.Write(data)
}

// beside is a file that a file of scraps names, as it is called in the table's folder.
func (f *scrapFile) beside(name string) string {
	return path.Join(path.Dir(filepath.ToSlash(f.name)), name)
}

// picture reads a photograph in the folder that is no larger than may be shown.
func (b *bench) picture(name string) (data []byte, kind string, err error) {
	name = filepath.FromSlash(name)
	info, err := b.root.Stat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > mostGroundBytes {
		return nil, "", errors.Join(errors.New("no picture"), err)
	}
	f, err := b.root.Open(name)
	if err != nil {
		return nil, "", err
	}
	defer f.Close()
	if data, err = io.ReadAll(io.LimitReader(f, mostGroundBytes)); err != nil {
		return nil, "", err
	}
	c, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || c.Width*c.Height > mostGroundPixels || kind != "jpeg" && kind != "png" {
		return nil, "", errors.Join(errors.New("no picture"), err)
	}
	return data, kind, nil
}
