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
	write("plan.json", d.Write)
	write("report.html", func(w io.Writer) error { return report.HTML(w, d) })
	for k, o := range d.Options {
		folder := fmt.Sprintf("option-%d/", o.Rank)
		write(folder+"pieces.svg", func(w io.Writer) error { return draw.Pieces(w, d, k) })
		if len(d.Scraps) > 0 {
			write(folder+"layout.svg", func(w io.Writer) error { return draw.Layout(w, d, k) })
		}
		taken := map[string]bool{"pieces": true, "layout": true}
		for i, p := range o.Parts {
			write(folder+fileName(p.Name, taken)+".svg", func(w io.Writer) error { return draw.Part(w, d, k, i) })
		}
	}
	if err != nil {
		return err
	}
	return out.Commit()
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
