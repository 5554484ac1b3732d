package report

import (
	"bytes"
	"strings"
	"unicode"

	"golang.org/x/net/html"
	"golang.org/x/net/html/atom"
)

// labelled makes the tables of a page fit for narrow screens and for paper.
// Each cell of a body carries the head of its column as data-label, which
// page.css shows where rows are stacked, and its long words may be broken. All
// that is not in a table stays as it is, to the byte.
func labelled(page []byte) []byte {
	var out bytes.Buffer
	var heads []string
	inTable, inHead, cell, at := false, false, false, 0
	z := html.NewTokenizer(bytes.NewReader(page))
	for {
		kind := z.Next()
		if kind == html.ErrorToken { // the end: it reads from memory
			return out.Bytes()
		}
		raw := bytes.Clone(z.Raw())
		token := z.Token()
		opens := kind == html.StartTagToken
		switch token.DataAtom {
		case atom.Table:
			inTable, heads = opens, nil
		case atom.Thead:
			inHead = opens
		case atom.Tr:
			at = 0
		case atom.Th, atom.Td:
			cell = opens && inTable
			switch {
			case !opens || !inTable:
			case inHead:
				heads = append(heads, "")
			case at < len(heads):
				raw = append(bytes.TrimSuffix(raw, []byte(">")), ` data-label="`+html.EscapeString(heads[at])+`">`...)
				at++
			}
		}
		switch {
		case kind == html.TextToken && cell && inHead:
			heads[len(heads)-1] += token.Data
		case kind == html.TextToken && cell:
			raw = []byte(breakable(token.Data))
		}
		out.Write(raw)
	}
}

// breakable is a text as HTML whose words may be broken after a slash that is
// in no fraction, and where they are very long.
func breakable(text string) string {
	const most = 24 // letters in a row
	var out strings.Builder
	n, before := 0, ' '
	for _, r := range text {
		if n >= most && !unicode.Is(unicode.M, r) {
			out.WriteString("<wbr>")
			n = 0
		}
		out.WriteString(html.EscapeString(string(r)))
		switch {
		case r == '/' && !unicode.IsDigit(before):
			out.WriteString("<wbr>")
			n = 0
		case r == '-', unicode.IsSpace(r):
			n = 0
		default:
			n++
		}
		before = r
	}
	return out.String()
}
