package table

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"slices"
	"strings"

	"eke/cmd/job"
	"eke/cmd/words"
	"eke/piece"
	"eke/split/plan"
	"eke/split/search"
	"eke/svg/measure"
	"eke/svg/report"
	"eke/svg/sheets"
)

//go:embed sections.html
var sectionsHTML string

var sections = template.Must(template.New("sections").Funcs(template.FuncMap{"plural": words.Plural}).Parse(sectionsHTML))

// section answers with one section of the page as it is now.
func (b *bench) section(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	make := map[string]func(*http.Request) (any, error){sectionBring: b.bringView, sectionWish: b.wishView, sectionPlan: b.planView, sectionTake: b.takeView}[name]
	if make == nil {
		refuse(w, http.StatusNotFound, "there is no such section")
		return
	}
	view, err := make(r)
	var out bytes.Buffer
	if err == nil {
		err = sections.ExecuteTemplate(&out, name, view)
	}
	if err != nil {
		refuse(w, http.StatusInternalServerError, "a fault of eke's own: "+words.OneLine(err))
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	_, _ = w.Write(out.Bytes())
}

// trouble is why a file is refused, with the place and the cure where they are known.
type trouble struct {
	Where, Problem, Cure string
}

func troubleOf(err error) *trouble {
	if err == nil {
		return nil
	}
	var e *piece.Error
	if !errors.As(err, &e) {
		return &trouble{Problem: words.OneLine(err)}
	}
	t := &trouble{Where: e.Piece, Problem: words.OneLine(errors.New(e.Problem)), Cure: words.Plain(e.Cure)}
	if e.Element != "" {
		t.Where = strings.TrimPrefix(e.Piece+", "+e.Element, ", ")
	}
	t.Where = words.Plain(t.Where)
	return t
}

func (b *bench) bringView(*http.Request) (any, error) {
	b.mu.Lock()
	l, said := b.laid, b.said
	b.mu.Unlock()
	type file struct {
		Name    string
		Refused *trouble
		Scraps  []scrapView
		Cloths  template.HTML
	}
	v := struct {
		Pattern  string
		Refused  *trouble
		Pieces   []pieceView
		Warnings []string
		Files    []file
		Apart    string
		Said     string
		Notes    []string
	}{Pattern: l.pattern, Refused: troubleOf(l.refused), Said: said}
	v.Pieces = pieceViews(l.pieces, b.units)
	for _, s := range l.warns {
		if !slices.ContainsFunc(l.pieces, func(p *piece.Piece) bool { return slices.Contains(p.Warnings, s) }) {
			v.Warnings = append(v.Warnings, b.units.Text(s))
		}
	}
	for i, f := range l.files {
		one := file{Name: f.name, Refused: troubleOf(f.refused)}
		if f.refused == nil {
			var err error
			if one.Scraps, one.Cloths, err = scrapViews(f.scraps, fmt.Sprintf("pile-%d-", i), b.units); err != nil {
				return nil, err
			}
		}
		v.Files = append(v.Files, one)
	}
	if l.apart != nil {
		v.Apart = words.OneLine(l.apart)
	}
	if len(l.pieces) > 0 && len(l.pile) > 0 {
		v.Notes = textOf(job.NotesTogether(l.pieces, l.pile, search.Options{Wishes: l.wishes, Rules: piece.Rules(l.pile)}), b.units)
	}
	return v, nil
}

func textOf(notes []string, u measure.Unit) []string {
	var out []string
	for _, n := range notes {
		out = append(out, ownWords(u.Text(n)))
	}
	return out
}

func (b *bench) wishView(r *http.Request) (any, error) {
	b.mu.Lock()
	l, wishes := b.laid, b.wishes
	b.mu.Unlock()
	v := struct {
		Pieces []pieceView
		Chosen *pieceView
		Others []string
		Looks  []string
		Forms  []wishForm
		Wishes []string
		Drawn  []string
		Unmet  string
	}{Pieces: pieceViews(l.pieces, b.units), Looks: looks(l.pile), Wishes: wishes}
	for _, w := range l.wishes {
		if !slices.Contains(wishes, w.String()) {
			v.Drawn = append(v.Drawn, w.String())
		}
	}
	if l.unmet != nil {
		v.Unmet = ownWords(words.OneLine(l.unmet))
	}
	chosen := r.URL.Query().Get("piece")
	for i := range v.Pieces {
		if v.Pieces[i].Name == chosen {
			v.Chosen = &v.Pieces[i]
		} else {
			v.Others = append(v.Others, v.Pieces[i].Name)
		}
	}
	for _, f := range wishForms {
		if v.Chosen != nil && (!f.many || v.Chosen.Many) && (!f.Look || len(v.Looks) > 0) && (!f.Other || len(v.Others) > 0) {
			v.Forms = append(v.Forms, f)
		}
	}
	return v, nil
}

func (b *bench) planView(*http.Request) (any, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	v := struct {
		Why       string // there is no planning yet
		Going     bool
		Best      template.HTML
		Failed    string
		Found     int  // options of the plan that stands further down, if it is of what lies here
		Missing   bool // there is none of them, and what is missing stands there
		Seconds   int
		Options   int
		Seams     string
		Allowance string
		Gap       string
		Sort      string
	}{Why: b.laid.ready(), Seconds: int(b.asked.Time.Seconds()), Options: b.asked.Keep, Allowance: fmt.Sprintf("%g mm", b.asked.AllowanceMM), Gap: fmt.Sprintf("%g mm", b.asked.GapMM), Sort: b.asked.Sort}
	if b.asked.MaxSeams >= 0 {
		v.Seams = fmt.Sprint(b.asked.MaxSeams)
	}
	if b.run != nil {
		v.Going, v.Failed = b.run.going, b.run.failed
		if v.Going {
			v.Best = b.run.shown
		}
	}
	if b.plan != nil && b.of == b.stamp && v.Failed == "" {
		v.Found, v.Missing = len(b.plan.Options), len(b.plan.Options) == 0
	}
	return v, nil
}

func (b *bench) takeView(*http.Request) (any, error) {
	b.mu.Lock()
	d, stale, going := b.plan, b.of != b.stamp, b.run != nil && b.run.going
	b.mu.Unlock()
	v := struct {
		Plan    *plan.Document
		Options []plan.Option
		Choices template.HTML
		Stale   bool
		Going   bool
		Folder  string
		Papers  []string
		Notes   []string
		Fewest  string
	}{Plan: d, Stale: stale, Going: going, Folder: b.out, Papers: sheets.PaperNames()}
	if d == nil || going {
		return v, nil
	}
	var out strings.Builder
	if err := report.Choices(&out, d, b.units); err != nil {
		return nil, err
	}
	v.Choices, v.Options, v.Notes = template.HTML(ownWords(out.String())), d.Options, textOf(d.Notes, b.units)
	switch {
	case len(d.Options) > 0 && d.Fewest:
		v.Fewest = "Fewest possible: " + ownWords(b.units.Text(d.FewestReason))
	case len(d.Options) > 0 && d.FewestReason != "":
		v.Fewest = "Perhaps not the fewest: " + ownWords(b.units.Text(d.FewestReason))
	}
	return v, nil
}
