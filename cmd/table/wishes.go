package table

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strings"

	"eke/cmd/job"
	"eke/piece"
	"eke/split/wish"
)

// wishForm is a wish about one piece, as the page offers it.
type wishForm struct {
	Key                string
	Says               string
	Other, Look, Lower bool // what else it needs
	Whole              bool // the other piece may be left out
	write              func(piece, other, look, lower string) string
	many               bool // only of a piece that is cut more than once
}

var wishForms = []wishForm{
	{Key: "alike", Says: "all its copies in one look, split alike", many: true, write: func(p, _, _, _ string) string { return p + " alike" }},
	{Key: "like", Says: "in the same look as", Other: true, write: func(p, o, _, _ string) string { return p + " like " + o }},
	{Key: "unlike", Says: "in another look than", Other: true, write: func(p, o, _, _ string) string { return p + " unlike " + o }},
	{Key: "block", Says: "with a cross seam, these looks above and below it", Look: true, Lower: true, write: func(p, _, a, b string) string { return p + " upper " + a + ", lower " + b }},
	{Key: "only", Says: "the only piece cut from", Look: true, write: func(p, _, a, _ string) string { return a + " only for " + p }},
	{Key: "carry", Says: "its cross seam goes on through the joins it meets, as far as", Other: true, Whole: true, write: func(p, o, _, _ string) string {
		if o == "" {
			return "carry " + p
		}
		return "carry " + p + " to " + o
	}},
}

// wish adds a wish: one about a piece that was pointed at, or one in words.
func (b *bench) wish(r *http.Request) error {
	form := func(name string) string { return strings.TrimSpace(r.PostForm.Get(name)) }
	line := form("words")
	if line == "" {
		k := slices.IndexFunc(wishForms, func(f wishForm) bool { return f.Key == form("form") })
		if k < 0 {
			return errors.New("choose what you wish of the piece, or write a wish in words")
		}
		f := wishForms[k]
		switch {
		case f.Other && !f.Whole && form("other") == "":
			return errors.New("choose the other piece too")
		case f.Look && form("look") == "", f.Lower && form("lower") == "":
			return errors.New("choose the look too")
		}
		line = f.write(form("piece"), form("other"), form("look"), form("lower"))
	}
	if form("prefer") != "" {
		line = "prefer " + line
	}
	w, err := wish.Parse(line)
	if err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.look()
	if b.laid.pieces == nil {
		return errors.New("bring a pattern first")
	}
	if err := wish.Validate(w, names(b.laid.pieces), looks(b.laid.pile)); err != nil {
		return err
	}
	if slices.Contains(b.wishes, w.String()) {
		return fmt.Errorf("%q is wished for already", w)
	}
	all := []wish.Wish{w}
	for _, line := range b.wishes {
		if old, err := wish.Parse(line); err == nil {
			all = append(all, old)
		}
	}
	if err := wish.Against(all, job.OptionalAmong(b.laid.pieces)); err != nil {
		return err
	}
	b.wishes = append(slices.Clone(b.wishes), w.String())
	b.look()
	return b.keepWishes()
}

func (b *bench) unwish(line string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.wishes = slices.DeleteFunc(slices.Clone(b.wishes), func(w string) bool { return w == line })
	b.look()
	return b.keepWishes()
}

func names(pieces []*piece.Piece) []string {
	var out []string
	for _, p := range pieces {
		out = append(out, p.Name)
	}
	return out
}

func looks(pile []piece.Scrap) []string {
	var out []string
	for i := range pile {
		if l := pile[i].TheLook(); !slices.Contains(out, l) {
			out = append(out, l)
		}
	}
	return out
}
