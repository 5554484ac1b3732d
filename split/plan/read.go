package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// What Read takes at most: many times what a plan of a whole wardrobe has, and
// little enough that a file made to fill the memory does not.
const (
	maxBytes   = 16 << 20
	maxObjects = 50_000
	maxValues  = 500_000
)

// Read reads a plan.json of this format, which may have been through other
// hands.
func Read(r io.Reader) (*Document, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxBytes+1))
	if err != nil {
		return nil, err
	}
	d := new(Document)
	switch {
	case len(data) > maxBytes:
		err = fmt.Errorf("it is larger than %d MB", maxBytes>>20)
	case bytes.Count(data, []byte("{")) > maxObjects || bytes.Count(data, []byte(",")) > maxValues:
		err = fmt.Errorf("it holds more than %d objects or %d values", maxObjects, maxValues)
	default:
		err = json.Unmarshal(data, d)
	}
	if err != nil {
		return nil, fmt.Errorf("plan.json cannot be read: %w; write it again with eke plan", err)
	}
	if d.Format != Format {
		return nil, fmt.Errorf("plan.json has format %q, and this eke reads %q; write it again with eke plan", d.Format, Format)
	}
	return d, nil
}

// object reads an object, and ends the reading at anything else. Without it
// package json would go on, and make room for every element of a long list
// of something else.
func object(data []byte, v any) error {
	if data[0] != '{' {
		return errors.New("a list of objects holds something else")
	}
	return json.Unmarshal(data, v)
}

func (p *Piece) UnmarshalJSON(data []byte) error {
	type plain Piece
	return object(data, (*plain)(p))
}

func (s *Scrap) UnmarshalJSON(data []byte) error {
	type plain Scrap
	return object(data, (*plain)(s))
}

func (o *Option) UnmarshalJSON(data []byte) error {
	type plain Option
	return object(data, (*plain)(o))
}

func (w *Wish) UnmarshalJSON(data []byte) error {
	type plain Wish
	return object(data, (*plain)(w))
}

func (t *Term) UnmarshalJSON(data []byte) error {
	type plain Term
	return object(data, (*plain)(t))
}

func (p *Part) UnmarshalJSON(data []byte) error {
	type plain Part
	return object(data, (*plain)(p))
}

func (e *Edge) UnmarshalJSON(data []byte) error {
	type plain Edge
	return object(data, (*plain)(e))
}

func (n *Notch) UnmarshalJSON(data []byte) error {
	type plain Notch
	return object(data, (*plain)(n))
}

func (p *PiecingSeam) UnmarshalJSON(data []byte) error {
	type plain PiecingSeam
	return object(data, (*plain)(p))
}

func (c *Cut) UnmarshalJSON(data []byte) error {
	type plain Cut
	return object(data, (*plain)(c))
}

func (m *MovedSeam) UnmarshalJSON(data []byte) error {
	type plain MovedSeam
	return object(data, (*plain)(m))
}

func (m *MovedPiece) UnmarshalJSON(data []byte) error {
	type plain MovedPiece
	return object(data, (*plain)(m))
}

func (t *Taken[Corners]) UnmarshalJSON(data []byte) error {
	type plain Taken[Corners]
	return object(data, (*plain)(t))
}

func (d *DividedDart) UnmarshalJSON(data []byte) error {
	type plain DividedDart
	return object(data, (*plain)(d))
}

func (t *Trued) UnmarshalJSON(data []byte) error {
	type plain Trued
	return object(data, (*plain)(t))
}

func (j *Join) UnmarshalJSON(data []byte) error {
	type plain Join
	return object(data, (*plain)(j))
}

func (l *Left) UnmarshalJSON(data []byte) error {
	type plain Left
	return object(data, (*plain)(l))
}

func (s *Short) UnmarshalJSON(data []byte) error {
	type plain Short
	return object(data, (*plain)(s))
}

func (c *Cloth) UnmarshalJSON(data []byte) error {
	type plain Cloth
	return object(data, (*plain)(c))
}

func (h *Held) UnmarshalJSON(data []byte) error {
	type plain Held
	return object(data, (*plain)(h))
}

func (w *Wanted) UnmarshalJSON(data []byte) error {
	type plain Wanted
	return object(data, (*plain)(w))
}

func (r *Rectangle) UnmarshalJSON(data []byte) error {
	type plain Rectangle
	return object(data, (*plain)(r))
}

func (c *CopyOf) UnmarshalJSON(data []byte) error {
	type plain CopyOf
	return object(data, (*plain)(c))
}

func (c *Cannot) UnmarshalJSON(data []byte) error {
	type plain Cannot
	return object(data, (*plain)(c))
}

func (c *SeamCase) UnmarshalJSON(data []byte) error {
	type plain SeamCase
	return object(data, (*plain)(c))
}

func (s *SeamsOf) UnmarshalJSON(data []byte) error {
	type plain SeamsOf
	return object(data, (*plain)(s))
}
