package main

import "strings"

// document is FIGURES.md: what stands above its first heading, and sections by
// their headings of the second level.
type document struct {
	top      string
	sections []titled
}

type titled struct{ title, text string }

const heading = "\n## "

func parseDocument(text string) (d document) {
	if strings.TrimSpace(text) == "" {
		text = "# Figures\n"
	}
	parts := strings.Split("\n"+text, heading)
	d.top = strings.TrimSpace(parts[0])
	for _, p := range parts[1:] {
		title, body, _ := strings.Cut(p, "\n")
		d.sections = append(d.sections, titled{strings.TrimSpace(title), strings.TrimSpace(body)})
	}
	return d
}

// set writes a section anew, or adds it at the end. What a section says after a
// heading of the third level was written by hand, and stays.
func (d *document) set(title, text string) {
	text = strings.TrimSpace(text)
	for i, s := range d.sections {
		if s.title != title {
			continue
		}
		if _, byHand, found := strings.Cut("\n"+s.text, "\n### "); found {
			text += "\n\n### " + byHand
		}
		d.sections[i].text = text
		return
	}
	d.sections = append(d.sections, titled{title, text})
}

func (d *document) String() string {
	var b strings.Builder
	b.WriteString(d.top + "\n")
	for _, s := range d.sections {
		b.WriteString(heading + s.title + "\n\n" + s.text + "\n")
	}
	return b.String()
}
