package svg

import (
	"fmt"
	"math"

	"eke/piece/curve"

	"github.com/paulmach/orb"
)

// subpath is one run of drawn line. A move with nothing drawn after it is a
// subpath without a segment.
type subpath struct {
	at     orb.Point // where it starts
	line   curve.Path
	closed bool
}

// parsePath reads path data by the grammar of SVG 1.1, 8.3.9, with the two
// freedoms that SVG 2 and viewers give: an empty path and `none` draw nothing.
// Unlike a viewer, which paints up to a mistake, it refuses the whole path: a
// half-read outline would be cut. At most limit segments are read.
//
// A general path library is not used for reading: the one at hand joins the
// lines of a straight run, even where it turns back, and straightens flat
// curves, while a point that a maker drew is where an edge may end; its
// elliptical arcs are true to a thousandth. It is what the tests compare with.
func parsePath(d string, limit int) ([]subpath, error) {
	p := pathReader{s: d, limit: limit}
	p.i = spaces(d)
	if rest := d[p.i:]; rest == "" || rest == "none" {
		return nil, nil
	}
	if err := p.read(); err != nil {
		return nil, err
	}
	return p.out, nil
}

type pathReader struct {
	s        string
	i        int
	out      []subpath
	at       orb.Point // the current point
	control  orb.Point // the last control point, for S and T
	before   byte      // the command before, upper case
	segments int
	limit    int
}

var arguments = map[byte]int{'M': 2, 'L': 2, 'H': 1, 'V': 1, 'C': 6, 'S': 4, 'Q': 4, 'T': 2, 'A': 7, 'Z': 0}

func (p *pathReader) read() error {
	for first := true; p.i < len(p.s); first = false {
		letter := p.s[p.i]
		command := letter &^ 0x20
		n, known := arguments[command]
		if !known || letter < 'A' {
			return p.errorf("expected a command")
		}
		if first && command != 'M' {
			return p.errorf("path data starts with a move")
		}
		relative := letter >= 'a'
		p.i++
		p.i += spaces(p.s[p.i:])
		if command == 'Z' {
			p.close()
			continue
		}
		for again := false; ; again = true {
			var a [7]float64
			for k := range n {
				if k > 0 {
					p.i += separator(p.s[p.i:])
				}
				if err := p.argument(&a[k], command == 'A' && (k == 3 || k == 4)); err != nil {
					return err
				}
			}
			if command == 'M' && again {
				command = 'L'
			}
			if err := p.draw(command, relative, a); err != nil {
				return err
			}
			after := p.i + separator(p.s[p.i:])
			if _, more := number(p.s[after:]); more == 0 {
				p.i += spaces(p.s[p.i:])
				break
			}
			p.i = after
		}
	}
	return nil
}

func (p *pathReader) argument(x *float64, flag bool) error {
	if flag {
		if p.i >= len(p.s) || p.s[p.i] != '0' && p.s[p.i] != '1' {
			return p.errorf("an arc's flag is 0 or 1")
		}
		*x = float64(p.s[p.i] - '0')
		p.i++
		return nil
	}
	v, n := number(p.s[p.i:])
	if n == 0 {
		return p.errorf("expected a number")
	}
	if math.IsInf(v, 0) {
		return p.errorf("the number is too large")
	}
	*x = v
	p.i += n
	return nil
}

func (p *pathReader) errorf(problem string) error {
	what := "the end"
	if p.i < len(p.s) {
		what = fmt.Sprintf("%q", start(p.s[p.i:]))
	}
	return fmt.Errorf("its path data is broken at character %d, %s: %s", p.i+1, what, problem)
}

func (p *pathReader) draw(command byte, relative bool, a [7]float64) error {
	base := orb.Point{}
	if relative {
		base = p.at
	}
	point := func(k int) orb.Point { return orb.Point{base[0] + a[k], base[1] + a[k+1]} }
	from := p.at
	reflected := orb.Point{2*p.at[0] - p.control[0], 2*p.at[1] - p.control[1]}
	before := p.before
	p.before = command
	switch command {
	case 'M':
		p.out = append(p.out, subpath{at: point(0)})
		p.at = point(0)
		if len(p.out) > p.limit {
			return errTooManySegments
		}
		return nil
	case 'L':
		return p.add(curve.Line(from, point(0)))
	case 'H':
		return p.add(curve.Line(from, orb.Point{base[0] + a[0], from[1]}))
	case 'V':
		return p.add(curve.Line(from, orb.Point{from[0], base[1] + a[0]}))
	case 'C':
		p.control = point(2)
		return p.add(curve.Cubic(from, point(0), point(2), point(4)))
	case 'S':
		c := from
		if before == 'C' || before == 'S' {
			c = reflected
		}
		p.control = point(0)
		return p.add(curve.Cubic(from, c, point(0), point(2)))
	case 'Q':
		p.control = point(0)
		return p.add(curve.Quadratic(from, point(0), point(2)))
	case 'T':
		c := from
		if before == 'Q' || before == 'T' {
			c = reflected
		}
		p.control = c
		return p.add(curve.Quadratic(from, c, point(0)))
	}
	for _, s := range arc(from, a[0], a[1], a[2], a[3] == 1, a[4] == 1, point(5)) {
		if err := p.add(s); err != nil {
			return err
		}
	}
	p.at = point(5)
	return nil
}

var errTooManySegments = fmt.Errorf("the drawing has more than %d line segments", maxSegments)

// add draws a segment from the current point. After a Z it starts a subpath
// where the closed one started.
func (p *pathReader) add(s curve.Segment) error {
	if p.segments++; p.segments > p.limit {
		return errTooManySegments
	}
	if p.out[len(p.out)-1].closed {
		p.out = append(p.out, subpath{at: p.at})
	}
	last := &p.out[len(p.out)-1]
	last.line = append(last.line, s)
	p.at = s.P1
	return nil
}

func (p *pathReader) close() {
	last := &p.out[len(p.out)-1]
	last.close()
	p.at, p.before = last.at, 'Z'
}

// close draws the line back to the start, where one is needed.
func (s *subpath) close() {
	s.closed = true
	if len(s.line) > 0 && s.line.End() != s.at {
		s.line = append(s.line, curve.Line(s.line.End(), s.at))
	}
}
