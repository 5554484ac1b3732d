// Package words is how eke's commands put names, counts and errors into one
// line of plain text, whatever a file has for a name.
package words

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

var lineBreaks = regexp.MustCompile(`[;:]?\s*[\r\n]\s*`)

// OneLine keeps a message to one line of plain text, whatever names from
// files it carries.
func OneLine(err error) string {
	return Plain(lineBreaks.ReplaceAllString(strings.TrimSpace(err.Error()), "; "))
}

// Plain drops what could move the cursor or colour a terminal.
func Plain(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) || r == unicode.ReplacementChar {
			return -1
		}
		return r
	}, s)
}

// List is names in a row, of many the first few.
func List(names []string) string {
	const most = 12
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// Plural is a count and what is counted.
func Plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
