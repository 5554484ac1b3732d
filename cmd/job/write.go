package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"eke/cmd/outdir"
	"eke/cmd/words"
	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/measure"
	"eke/svg/report"

	"golang.org/x/sync/errgroup"
)

// File is one file of an output, and what draws it.
type File struct {
	Name string
	Draw func(io.Writer) error
}

// Files is all that a plan is written as: plan.json, report.html in a unit of
// the reader's, and a folder an option.
func Files(d *plan.Document, u measure.Unit) []File {
	out := []File{
		{ReportFile, func(w io.Writer) error { return report.HTML(w, d, u) }},
		{PlanFile, d.Write},
	}
	drawing := draw.Of(d)
	for k, o := range d.Options {
		add := func(name string, draw func(io.Writer) error) {
			out = append(out, File{OptionFolder(&o) + "/" + name, draw})
		}
		add(PiecesFile, func(w io.Writer) error { return drawing.Pieces(w, k) })
		add(LayoutFile, func(w io.Writer) error { return drawing.Layout(w, k) })
		for i, name := range PartFiles(&o) {
			add(name, func(w io.Writer) error { return drawing.Part(w, k, i) })
		}
	}
	return out
}

// CanWrite refuses a folder that could not be written in the end, before any
// work is done for it. Empty is no folder, and none is needed.
func CanWrite(dir string) error {
	if dir == "" {
		return nil
	}
	switch ext := filepath.Ext(dir); strings.ToLower(ext) {
	case ".csv", ".htm", ".html", ".json", ".pdf", ".svg", ".txt", ".zip":
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return fmt.Errorf("-o %s is not a folder's name: a folder is written, with plan.json, report.html and the parts in it; give a name without %s", dir, ext)
		}
	}
	out, err := outdir.New(dir)
	if err != nil {
		return err
	}
	return out.Discard()
}

// OtherPattern is the pattern of the plan in a folder where that is not the file
// given; empty where there is no plan, or one for that file.
func OtherPattern(dir, pattern string) string {
	if dir == "" {
		return ""
	}
	d, err := ReadPlan(filepath.Join(dir, PlanFile))
	if err != nil || filepath.Base(d.Pattern) == filepath.Base(pattern) {
		return ""
	}
	return d.Pattern
}

// Write draws the files on all cores and writes them, all or none.
func Write(dir string, all []File) (err error) {
	out, err := outdir.New(dir)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Discard()) }()
	drawn := make([]bytes.Buffer, len(all))
	g := new(errgroup.Group)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, f := range all {
		g.Go(func() error { return f.Draw(&drawn[i]) })
	}
	if err := g.Wait(); err != nil {
		return Fault{fmt.Errorf("a file cannot be drawn: %w", err)}
	}
	for i, f := range all {
		err := out.Write(f.Name, func(w io.Writer) error {
			_, err := drawn[i].WriteTo(w)
			return err
		})
		if err != nil {
			return err
		}
	}
	return out.Commit()
}

const (
	PlanFile   = "plan.json"
	ReportFile = "report.html"
	PiecesFile = "pieces.svg"
	LayoutFile = "layout.svg"
)

func OptionFolder(o *plan.Option) string { return fmt.Sprintf("option-%d", o.Rank) }

// PartFiles names the file of each part of an option.
func PartFiles(o *plan.Option) []string {
	taken := map[string]bool{"pieces": true, "layout": true, "left": true}
	var out []string
	for _, p := range o.Parts {
		out = append(out, FileName(p.Name, taken)+".svg")
	}
	return out
}

// FileName makes a plain file name of a part's name, unlike any taken before.
func FileName(name string, taken map[string]bool) string {
	base := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_', r == '.', r > 127:
			return r
		}
		return '-'
	}, words.Plain(name)), "-.")
	if base == "" {
		base = "part"
	}
	if r := []rune(base); len(r) > 60 {
		base = string(r[:60])
	}
	unique := base
	for n := 2; taken[strings.ToLower(unique)]; n++ {
		unique = fmt.Sprintf("%s-%d", base, n)
	}
	taken[strings.ToLower(unique)] = true
	return unique
}

// WriteOver writes one file whole or not at all, and over nothing but one that
// mine knows; isNot says what is wrong with another.
func WriteOver(path string, mine func(was string) bool, isNot string, write func(io.Writer) error) error {
	if err := CanOverwrite(path, mine, isNot); err != nil {
		return err
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".eke-new-*"+filepath.Ext(path))
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, errors.Unwrap(err))
	}
	defer os.Remove(temp.Name())
	if err := errors.Join(write(temp), temp.Chmod(0o644), temp.Close()); err != nil {
		return err
	}
	return os.Rename(temp.Name(), path)
}

func CanOverwrite(path string, mine func(was string) bool, isNot string) error {
	if was, err := os.ReadFile(path); err == nil && !mine(string(was)) {
		return fmt.Errorf("%s is there already, and %s; choose another name", path, isNot)
	} else if err != nil && !errors.Is(err, os.ErrNotExist) {
		return fmt.Errorf("%s cannot be written: %w", path, errors.Unwrap(err))
	}
	return nil
}
