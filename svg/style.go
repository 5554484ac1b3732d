package svg

import (
	"maps"
	"regexp"
	"slices"
	"strings"
)

// property is what a style gives an element, else its attribute: the style
// attribute first, then the drawing's style sheets, as CSS orders them.
func (d *drawing) property(e *element, name string) string {
	if e.styles == nil {
		e.styles = map[string]string{}
		classes := strings.Fields(e.get("class"))
		for _, r := range d.rules { // lightest first
			if r.matches(e, classes) {
				maps.Copy(e.styles, r.values)
			}
		}
		maps.Copy(e.styles, declarations(e.get("style")))
	}
	if v, ok := e.styles[name]; ok {
		return v
	}
	return strings.TrimSpace(e.get(name))
}

// rule is a style rule with a simple selector: a type, a class or an id, or
// everything.
type rule struct {
	kind   byte // '#', '.', 't' or '*'
	name   string
	weight int
	values map[string]string
}

func (r rule) matches(e *element, classes []string) bool {
	switch r.kind {
	case '#':
		return e.get("id") == r.name
	case '.':
		return slices.Contains(classes, r.name)
	case 't':
		return e.name == r.name
	}
	return true
}

var (
	cssComment = regexp.MustCompile(`(?s)/\*.*?\*/`)
	cssRule    = regexp.MustCompile(`(?s)([^{}]*)\{([^{}]*)\}`)
	selector   = regexp.MustCompile(`^([#.]?)([A-Za-z_][\w-]*)$`)
)

// styleRules reads the rules of a style sheet that concern geometry and
// hiding. Selectors with several parts, which drawing programs do not write,
// are passed over, as are rules for other media.
func styleRules(css string) []rule {
	var out []rule
	css = cssComment.ReplaceAllString(css, "")
	for _, m := range cssRule.FindAllStringSubmatch(css, -1) {
		values := declarations(m[2])
		for name := range values {
			if !geometric[name] {
				delete(values, name)
			}
		}
		if len(values) == 0 || strings.Contains(m[1], "@") {
			continue
		}
		for _, s := range strings.Split(m[1], ",") {
			s = strings.TrimSpace(s)
			if s == "*" {
				out = append(out, rule{'*', "", 0, values})
			} else if p := selector.FindStringSubmatch(s); p != nil {
				switch p[1] {
				case "#":
					out = append(out, rule{'#', p[2], 3, values})
				case ".":
					out = append(out, rule{'.', p[2], 2, values})
				default:
					out = append(out, rule{'t', p[2], 1, values})
				}
			}
		}
	}
	return out
}

var geometric = map[string]bool{
	"display": true, "visibility": true, "transform": true, "transform-origin": true,
	"x": true, "y": true, "width": true, "height": true, "cx": true, "cy": true, "r": true, "rx": true, "ry": true,
}

// declarations reads `name: value; …`.
func declarations(s string) map[string]string {
	out := map[string]string{}
	for _, part := range splitOutside(s, ';') {
		if name, value, ok := strings.Cut(part, ":"); ok {
			value = strings.TrimSpace(value)
			if i := strings.Index(strings.ToLower(value), "!important"); i >= 0 {
				value = strings.TrimSpace(value[:i])
			}
			out[strings.ToLower(strings.TrimSpace(name))] = value
		}
	}
	return out
}

// splitOutside cuts s at sep where it is outside quotes and brackets.
func splitOutside(s string, sep byte) []string {
	var out []string
	from, depth := 0, 0
	var quote byte
	for i := 0; i < len(s); i++ {
		switch c := s[i]; {
		case quote != 0:
			if c == quote {
				quote = 0
			}
		case c == '"' || c == '\'':
			quote = c
		case c == '(':
			depth++
		case c == ')':
			depth--
		case c == sep && depth <= 0:
			out = append(out, s[from:i])
			from = i + 1
		}
	}
	return append(out, s[from:])
}
