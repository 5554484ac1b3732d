package svg

import (
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"regexp"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"eke/piece"
)

// element is an XML element of the SVG namespace, or of none.
type element struct {
	name     string
	attrs    []attr
	children []*element
	text     []byte // of a title, desc or style
	line     int

	// Read once, when first asked for.
	styles map[string]string // what its styles say
	facts  []factLine        // what its desc says
	drawn  []subpath         // what its path or points draw
}

// texts is how many bytes each element with text may have.
var texts = map[string]int{"title": maxTextBytes, "desc": maxTextBytes, "style": maxStyleBytes}

// cut is the start of s, long enough for any name.
func cut(s string) string { return s[:min(len(s), maxNameBytes)] }

type attr struct{ key, value string }

// get is an attribute's value, empty where it is not given.
func (e *element) get(key string) string {
	v, _ := e.lookup(key)
	return v
}

func (e *element) lookup(key string) (string, bool) {
	for _, a := range e.attrs {
		if a.key == key {
			return a.value, true
		}
	}
	return "", false
}

// child is the text of the first child of that name.
func (e *element) child(name string) string {
	for _, c := range e.children {
		if c.name == name {
			return strings.TrimSpace(string(c.text))
		}
	}
	return ""
}

// String names the element for messages: path "seam-1", or path on line 12.
func (e *element) String() string {
	for _, key := range []string{"id", "inkscape:label"} {
		if v := clean(cut(e.get(key))); v != "" {
			return fmt.Sprintf("%s %q", e.name, v)
		}
	}
	return fmt.Sprintf("%s on line %d", e.name, e.line)
}

const (
	svgSpace      = "http://www.w3.org/2000/svg"
	xlinkSpace    = "http://www.w3.org/1999/xlink"
	inkscapeSpace = "http://www.inkscape.org/namespaces/inkscape"
)

// key is an attribute's name as element.get knows it, or empty for one that
// reading has no use for.
func key(n xml.Name) string {
	switch {
	case n.Space == "" && n.Local != "xmlns":
		return n.Local
	case n.Space == xlinkSpace || n.Space == "xlink":
		return "xlink:" + n.Local
	case n.Space == inkscapeSpace || n.Space == "inkscape":
		return "inkscape:" + n.Local
	}
	return ""
}

// parse reads the XML of a drawing into its root element.
func parse(r io.Reader, file string) (*element, error) {
	refuse := func(problem, cure string) (*element, error) {
		return nil, &piece.Error{File: file, Problem: problem, Cure: cure}
	}
	data, err := readAll(r)
	if err != nil {
		if errors.Is(err, errTooLarge) {
			return refuse(fmt.Sprintf("the file is larger than %d MB", maxBytes>>20), "remove embedded pictures, or save each piece in a file of its own")
		}
		return refuse("the file cannot be read: "+err.Error(), "")
	}
	if data, err = toUTF8(data); err != nil {
		return refuse(err.Error(), "save it from the drawing program as plain SVG")
	}
	if n := countAttributes(data); n > maxAttributes {
		return refuse(fmt.Sprintf("the file has more than %d attributes", maxAttributes), "save each piece in a file of its own")
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	d.CharsetReader = charsetReader
	var root *element
	var open []*element
	skip, depth, elements, types := 0, 0, 0, 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			if root == nil {
				return refuse("it is not an SVG drawing", "export the pattern from the drawing program as SVG")
			}
			line, _ := d.InputPos()
			return refuse(fmt.Sprintf("its XML is broken on line %d (%s)", line, xmlProblem(err)), "save it again from the drawing program")
		}
		switch t := tok.(type) {
		case xml.Directive:
			if types++; types > 1 {
				return refuse("it has more than one document type", "save it from the drawing program as plain SVG")
			}
			if err := readEntities(d, t, bytes.Count(data, []byte("&"))); err != nil {
				return refuse(err.Error(), "save it from the drawing program as plain SVG")
			}
		case xml.StartElement:
			if elements++; elements > maxElements {
				return refuse(fmt.Sprintf("the drawing has more than %d elements", maxElements), "keep only the pattern pieces in it")
			}
			if depth++; depth > maxDepth {
				return refuse(fmt.Sprintf("elements are nested more than %d deep", maxDepth), "ungroup the drawing")
			}
			if root == nil && (t.Name.Local != "svg" || t.Name.Space != svgSpace && t.Name.Space != "") {
				return refuse(fmt.Sprintf("it is not an SVG drawing: its first element is <%s>", clean(t.Name.Local)), "export the pattern from the drawing program as SVG")
			}
			if root != nil && len(open) == 0 {
				line, _ := d.InputPos()
				return refuse(fmt.Sprintf("its XML is broken on line %d (a second drawing follows the first)", line), "save it again from the drawing program")
			}
			if skip > 0 || t.Name.Space != svgSpace && t.Name.Space != "" {
				skip++
				continue
			}
			line, _ := d.InputPos()
			e := &element{name: t.Name.Local, line: line}
			if len(t.Attr) > maxPerElement {
				return refuse(fmt.Sprintf("an element on line %d has more than %d attributes", line, maxPerElement), "save it from the drawing program as plain SVG")
			}
			for _, a := range t.Attr {
				if k := key(a.Name); k != "" {
					e.attrs = append(e.attrs, attr{k, a.Value})
				}
			}
			if root == nil {
				root = e
			} else {
				parent := open[len(open)-1]
				parent.children = append(parent.children, e)
			}
			open = append(open, e)
		case xml.EndElement:
			depth--
			if skip > 0 {
				skip--
			} else {
				open = open[:len(open)-1]
			}
		case xml.CharData:
			if skip > 0 || len(open) == 0 {
				continue
			}
			e := open[len(open)-1]
			if most := texts[e.name]; most > 0 {
				if e.text = append(e.text, t...); len(e.text) > most {
					return refuse(fmt.Sprintf("the %s on line %d is longer than %d kB", e.name, e.line, most>>10), "shorten it; embedded fonts can go")
				}
			}
		}
	}
	if root == nil {
		return refuse("it is not an SVG drawing", "export the pattern from the drawing program as SVG")
	}
	return root, nil
}

// xmlProblem is what the XML reader found, without its own prefix and in
// brief, since it may quote any length of the file.
func xmlProblem(err error) string {
	problem := err.Error()
	var syntax *xml.SyntaxError
	if errors.As(err, &syntax) {
		problem = syntax.Msg
	}
	return clean(cut(problem))
}

var errTooLarge = errors.New("too large")

// readAll reads up to maxBytes, through gzip where a program compressed the
// file.
func readAll(r io.Reader) ([]byte, error) {
	if f, ok := r.(interface{ Stat() (fs.FileInfo, error) }); ok {
		if info, err := f.Stat(); err == nil && info.Size() > maxBytes {
			return nil, errTooLarge
		}
	}
	data, err := readUpTo(r)
	if err != nil || !bytes.HasPrefix(data, []byte{0x1f, 0x8b}) {
		return data, err
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return readUpTo(z)
}

func readUpTo(r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err == nil && len(data) > maxBytes {
		err = errTooLarge
	}
	return data, err
}

// toUTF8 takes a byte order mark off and turns UTF-16 into UTF-8.
func toUTF8(data []byte) ([]byte, error) {
	var little bool
	switch {
	case bytes.HasPrefix(data, []byte{0xef, 0xbb, 0xbf}):
		return data[3:], nil
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		little = true
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
	default:
		return data, nil
	}
	if len(data)%2 != 0 {
		return nil, errors.New("its text is broken UTF-16")
	}
	unit := func(i int) rune {
		if little {
			return rune(data[i+1])<<8 | rune(data[i])
		}
		return rune(data[i])<<8 | rune(data[i+1])
	}
	out := make([]byte, 0, len(data))
	for i := 2; i < len(data); i += 2 {
		c := unit(i)
		if utf16.IsSurrogate(c) && i+3 < len(data) {
			c = utf16.DecodeRune(c, unit(i+2))
			i += 2
		}
		out = utf8.AppendRune(out, c)
	}
	return out, nil
}

// charsetReader reads the encodings that a drawing may declare.
func charsetReader(charset string, input io.Reader) (io.Reader, error) {
	switch strings.ToLower(charset) {
	case "utf-16", "utf-16le", "utf-16be", "us-ascii", "ascii", "utf8":
		return input, nil // toUTF8 has been here
	case "iso-8859-1", "iso8859-1", "latin1", "latin-1":
		return &latin1{r: input}, nil
	}
	return nil, fmt.Errorf("the encoding %q is not read; save the file as UTF-8", charset)
}

// latin1 turns ISO 8859-1, whose bytes are the first letters of Unicode, into
// UTF-8.
type latin1 struct {
	r    io.Reader
	read [4096]byte
	text []byte // of what was read and not yet asked for
}

func (l *latin1) Read(p []byte) (int, error) {
	if len(l.text) == 0 {
		n, err := l.r.Read(l.read[:])
		if n == 0 {
			return 0, err
		}
		for _, b := range l.read[:n] {
			l.text = utf8.AppendRune(l.text, rune(b))
		}
	}
	n := copy(p, l.text)
	l.text = l.text[n:]
	return n, nil
}

// countAttributes is at least the number of attributes in the file: the
// places where an equals sign comes before a quotation mark.
func countAttributes(data []byte) int {
	n := 0
	for i := bytes.IndexByte(data, '='); i >= 0; {
		j := i + 1
		for j < len(data) && (data[j] == ' ' || data[j] == '\t' || data[j] == '\n' || data[j] == '\r') {
			j++
		}
		if j < len(data) && (data[j] == '"' || data[j] == '\'') {
			n++
		}
		next := bytes.IndexByte(data[j:], '=')
		if next < 0 {
			break
		}
		i = j + next
	}
	return n
}

var (
	entityDecl = regexp.MustCompile(`<!ENTITY\s+([^\s%"'<>&]+)\s+(?:"([^"]*)"|'([^']*)')\s*>`)
	anyEntity  = regexp.MustCompile(`<!ENTITY\b`)
)

// readEntities lets the decoder know the entities that a document type
// declares, as some drawing programs do for their namespaces: plain text
// only, never one within another, so that they cannot multiply.
func readEntities(d *xml.Decoder, directive xml.Directive, references int) error {
	found := entityDecl.FindAllSubmatch(directive, maxEntities+1)
	if len(found) > maxEntities || len(anyEntity.FindAll(directive, maxEntities+1)) != len(found) {
		return errors.New("its document type declares entities that are not plain text, or too many")
	}
	longest := 0
	for _, m := range found {
		value := string(m[2]) + string(m[3])
		if strings.ContainsAny(value, "&%<") {
			return errors.New("its document type declares an entity made of others")
		}
		longest = max(longest, len(value))
		if d.Entity == nil {
			d.Entity = map[string]string{}
		}
		d.Entity[string(m[1])] = value
	}
	if longest*references > maxBytes {
		return fmt.Errorf("its entities could grow beyond %d MB", maxBytes>>20)
	}
	return nil
}
