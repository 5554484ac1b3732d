package job

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"eke/piece"
	"eke/piece/scraps"
	"eke/split/wish"
	"eke/svg"
)

// Pattern reads a pattern file of no more pieces than a run takes on.
func Pattern(path string) ([]*piece.Piece, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	pieces, err := svg.Pattern(f, path)
	if err != nil {
		return nil, err
	}
	copies := 0
	for _, p := range pieces {
		if copies += p.Count; copies > MaxCopies {
			return nil, fmt.Errorf("%s: more than %d pieces are to be cut, counting how often; check the counts, or plan one garment at a time", path, MaxCopies)
		}
	}
	return pieces, nil
}

// Wishes reads the wishes that a pattern file holds, and then those of the
// command line.
func Wishes(path string, flags []string, pieces []*piece.Piece, cloth []piece.Scrap) ([]wish.Wish, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	lines, err := svg.Wishes(f, path)
	if err != nil {
		return nil, err
	}
	var out []wish.Wish
	for i, line := range append(lines, flags...) {
		w, err := wish.Parse(line)
		if err != nil {
			where := "--wish"
			if i < len(lines) {
				where = path + ": wish"
			}
			return nil, fmt.Errorf("%s: %w", where, err)
		}
		out = append(out, w)
	}
	return out, validWishes(out, pieces, cloth)
}

// MaxCopies is how many pieces, and how many scraps, a run takes on, each
// counted as often as it is cut or at hand.
const MaxCopies = 2000

// Scraps reads scrap files, by their ending, and the scraps named on the
// command line.
func Scraps(paths, flags []string) ([]piece.Scrap, error) {
	var out []piece.Scrap
	for i, path := range paths {
		if slices.ContainsFunc(paths[:i], func(p string) bool { return filepath.Clean(p) == filepath.Clean(path) }) {
			return nil, fmt.Errorf("%s: it is given twice, and its cloth is there once; leave one out", path)
		}
		more, err := ScrapFile(path)
		if err != nil {
			return nil, err
		}
		out = append(out, more...)
	}
	for _, s := range flags {
		scrap, err := scraps.ParseFlag(s)
		if err != nil {
			return nil, err
		}
		out = append(out, scrap)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("there are no scraps: name a scrap file (.csv or .svg) after the pattern, or use --scrap \"navy rib: 42 x 60 cm\"")
	}
	copies := 0
	for _, s := range out {
		if copies += s.Count; copies > MaxCopies {
			return nil, fmt.Errorf("%s: that makes more than %d scraps, counting how many are alike; keep to those that may be cut", s.File, MaxCopies)
		}
	}
	return out, scraps.Distinct(out)
}

// ScrapFile reads one file of scraps, by its ending.
func ScrapFile(path string) ([]piece.Scrap, error) {
	var read func(io.Reader, string) ([]piece.Scrap, error)
	switch strings.ToLower(filepath.Ext(path)) {
	case ".svg":
		read = svg.ReadScraps
	case ".csv", ".tsv", ".txt":
		read = scraps.ReadCSV
	default:
		return nil, fmt.Errorf("%s: scraps come as .csv or .svg; save it as one of them", path)
	}
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return read(f, path)
}

// DrawnScraps reads one file of scraps with its lines as they were drawn, and the
// photographs under them. Scraps from a list are drawn as their outlines are.
func DrawnScraps(path string) ([]piece.DrawnScrap, []piece.Ground, error) {
	if !IsDrawing(path) {
		pile, err := ScrapFile(path)
		var out []piece.DrawnScrap
		for i := range pile {
			out = append(out, pile[i].Drawn())
		}
		return out, nil, err
	}
	f, err := Open(path)
	if err != nil {
		return nil, nil, err
	}
	defer f.Close()
	return svg.ReadDrawnScraps(f, path)
}

// IsDrawing is whether a file is one that scraps are drawn in.
func IsDrawing(path string) bool { return strings.EqualFold(filepath.Ext(path), ".svg") }

// Open opens a file to read, and nothing that is no file.
func Open(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case path == "":
		return nil, errors.New("the name of a file is empty; give the file's name")
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: there is no such file", path)
	case err != nil:
		return nil, fmt.Errorf("%s cannot be read: %w", path, errors.Unwrap(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder; name a file in it", path)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s is not a file", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be read: %w", path, errors.Unwrap(err))
	}
	return f, nil
}

// validWishes refuses wishes about pieces and looks that are not there, for the look of
// a piece that is cut already, and for a seam in one that gets none.
func validWishes(wishes []wish.Wish, pieces []*piece.Piece, cloth []piece.Scrap) error {
	var names, looks []string
	for _, p := range pieces {
		names = append(names, p.Name)
	}
	for i := range cloth {
		if l := cloth[i].TheLook(); !slices.Contains(looks, l) {
			looks = append(looks, l)
		}
	}
	for _, w := range wishes {
		if err := wish.Validate(w, names, looks); err != nil {
			return err
		}
		w = wish.Plainly(w)
		var of []string
		split := false // whether it asks for a seam in them
		switch w := w.(type) {
		case wish.Block:
			of, split = []string{w.Piece}, true
		case wish.Carry:
			of, split = []string{w.Piece, w.To}, true
		case wish.Alike, wish.Like, wish.Unlike:
			of, _ = w.(wish.Named).Names()
		}
		for _, p := range pieces {
			switch {
			case !slices.ContainsFunc(of, func(name string) bool { return strings.EqualFold(p.Name, name) }):
			case p.Ready:
				return fmt.Errorf("the wish %q: %s is cut already", w, p.Name)
			case p.Optional && split:
				return fmt.Errorf("the wish %q: %s is optional, and such a piece is cut whole", w, p.Name)
			}
		}
	}
	return wish.Against(wishes, OptionalAmong(pieces))
}

// OptionalAmong tells of a name whether a piece is called so that may be left out.
func OptionalAmong(pieces []*piece.Piece) func(name string) bool {
	return func(name string) bool {
		return slices.ContainsFunc(pieces, func(p *piece.Piece) bool { return p.Optional && strings.EqualFold(p.Name, name) })
	}
}
