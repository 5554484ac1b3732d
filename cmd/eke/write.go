package main

import (
	"fmt"
	"io"
	"strings"

	"eke/cmd/outdir"
	"eke/split/plan"
	"eke/svg/draw"
	"eke/svg/report"
)

// writePlan writes plan.json, report.html and a folder an option.
func writePlan(dir string, d *plan.Document) (err error) {
	out, err := outdir.New(dir)
	if err != nil {
		return err
	}
	defer func() {
		if e := out.Discard(); err == nil {
			err = e
		}
	}()
	write := func(name string, f func(io.Writer) error) {
		if err == nil {
			err = out.Write(name, f)
		}
	}
	write(planFile, d.Write)
	write("report.html", func(w io.Writer) error { return report.HTML(w, d) })
	for k, o := range d.Options {
		folder := optionFolder(&o) + "/"
		write(folder+piecesFile, func(w io.Writer) error { return draw.Pieces(w, d, k) })
		write(folder+layoutFile, func(w io.Writer) error { return draw.Layout(w, d, k) })
		for i, name := range partFiles(&o) {
			write(folder+name, func(w io.Writer) error { return draw.Part(w, d, k, i) })
		}
	}
	if err != nil {
		return err
	}
	return out.Commit()
}

const (
	planFile   = "plan.json"
	piecesFile = "pieces.svg"
	layoutFile = "layout.svg"
)

func optionFolder(o *plan.Option) string { return fmt.Sprintf("option-%d", o.Rank) }

// partFiles names the file of each part of an option.
func partFiles(o *plan.Option) []string {
	taken := map[string]bool{"pieces": true, "layout": true}
	var out []string
	for _, p := range o.Parts {
		out = append(out, fileName(p.Name, taken)+".svg")
	}
	return out
}

// fileName makes a plain file name of a part's name, unlike any taken before.
func fileName(name string, taken map[string]bool) string {
	base := strings.Trim(strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-', r == '_', r == '.', r > 127:
			return r
		}
		return '-'
	}, plain(name)), "-.")
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
