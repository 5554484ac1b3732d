package svg

import (
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"eke/piece"
	"eke/piece/spelling"
)

// The words that say what an element is, in a pattern and in a scrap file.
var (
	patternWords = words{"seam", "cut", "grain", "notch", "dart", "fold", "edge", "level", "keep"}
	scrapWords   = words{"outline", "hole", "flaw", "grain"}
)

type words []string

func (w words) has(s string) bool {
	for _, x := range w {
		if x == s {
			return true
		}
	}
	return false
}

// meaning is what an element is: its word, and what its source says after
// the word, as the name of an edge.
type meaning struct {
	word string
	name string
	byID bool // name is from an id, which programs number to keep it unique
}

// of finds an element's meaning from its class, its id or its label, the
// first of them whose first word is one of w. Words are parted by white
// space, `-`, `_` or `:`, and a number right after the word is not part of
// it, since drawing programs number their ids: `notch-3`, `seam1`.
func (w words) of(e *element) meaning {
	classes := strings.Fields(cut(e.get("class")))
	for i, c := range classes {
		m := w.read(c)
		if m.word != "" && m.name == "" && i+1 < len(classes) {
			m.name = piece.EdgeName(classes[i+1])
		}
		if m.word != "" {
			return m
		}
	}
	if m := w.read(unescape(cut(e.get("id")))); m.word != "" {
		m.byID = true
		return m
	}
	return w.read(cut(e.get("inkscape:label")))
}

func (w words) read(s string) meaning {
	parts := piece.NameParts(s)
	if len(parts) == 0 {
		return meaning{}
	}
	word := strings.TrimRightFunc(parts[0], unicode.IsDigit)
	if !w.has(word) {
		return meaning{}
	}
	return meaning{word: word, name: strings.Join(parts[1:], "-")}
}

// near is the word that an unknown one was probably meant to be: another
// form of it, such as `notches` or `grainline`, another word for it, or a slip
// of a letter or two.
func (w words) near(s string) string {
	s = strings.ToLower(strings.TrimRightFunc(s, unicode.IsDigit))
	if w.has(s) || ordinary.has(s) {
		return ""
	}
	for _, x := range w {
		if len(x) >= 4 && strings.HasPrefix(s, x) {
			return x
		}
	}
	for _, x := range another[s] {
		if w.has(x) {
			return x
		}
	}
	return spelling.Nearest(s, w)
}

var (
	// Words that are a slip away from one that is known, and mean themselves.
	ordinary = words{"part", "hart", "bold", "gold", "hold", "cold", "mold", "dark", "seat", "team", "node", "fact", "date", "drain", "train", "brain", "ledge", "hedge", "wedge", "lever", "bevel", "keel", "cost"}
	// Other words for what is known, in a pattern or a scrap file.
	another = map[string][]string{
		"stain": {"flaw"}, "stains": {"flaw"}, "spot": {"flaw"}, "spots": {"flaw"}, "tear": {"flaw"}, "rip": {"flaw"}, "burn": {"flaw"}, "worn": {"flaw"}, "damage": {"flaw"}, "moth": {"flaw"}, "mothhole": {"flaw"},
		"material": {"fabric"}, "cloth": {"fabric"}, "quantity": {"count", "cut"}, "copies": {"count", "cut"}, "count": {"cut"},
		"stripe": {"stripe_cm"}, "stripes": {"stripe_cm"}, "repeat": {"stripe_cm"},
	}
)

var (
	// An id that a drawing program made up, or a layer no one has named.
	madeUp   = regexp.MustCompile(`^(?i:g|use|svg|path|rect|circle|ellipse|line|polyline|polygon|layer|group|object|shape|clone|symbol|surface|capa|calque|ebene|livello|xmlid|svgid)?[-_ ]*[0-9][-_ 0-9]*$`)
	escaped  = regexp.MustCompile(`_x([0-9A-Fa-f]{2,4})_`)
	numbered = regexp.MustCompile(`([-_ ][0-9]+)+[-_ ]*$`)
)

// unescape undoes how some programs write characters that an id cannot hold:
// `_x20_` for a space.
func unescape(id string) string {
	return escaped.ReplaceAllStringFunc(id, func(s string) string {
		c, err := strconv.ParseUint(escaped.FindStringSubmatch(s)[1], 16, 32)
		if err != nil || !utf8.ValidRune(rune(c)) {
			return s
		}
		return string(rune(c))
	})
}

// realName is the name that someone gave an element: its id, its label or
// its title, the first that a program has not made up. Empty if none.
func realName(n *node) string {
	for _, s := range n.names() {
		if s != "" && !madeUp.MatchString(s) {
			return s
		}
	}
	return ""
}

// anyName is the element's name even if a program made it up.
func anyName(n *node) string {
	if s := realName(n); s != "" {
		return s
	}
	for _, i := range []int{1, 2, 0} { // a label or title before an id
		if names := n.names(); names[i] != "" {
			return names[i]
		}
	}
	return ""
}

func (n *node) names() [3]string {
	if n.unnamed {
		return [3]string{}
	}
	return [3]string{clean(unescape(cut(n.el.get("id")))), clean(cut(n.el.get("inkscape:label"))), clean(cut(n.el.child("title")))}
}

// clean is text as a name or a message may show it: no control characters,
// one space at a time.
func clean(s string) string {
	s = strings.Map(func(c rune) rune {
		if c == utf8.RuneError || !unicode.IsPrint(c) && !unicode.IsSpace(c) {
			return -1
		}
		return c
	}, s)
	return strings.Join(strings.Fields(s), " ")
}
