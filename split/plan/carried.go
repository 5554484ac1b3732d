package plan

import (
	"fmt"
	"strings"
)

// Carried is one line over several pieces: piecing seams whose ends, at every
// join that the line meets, are sewn to each other.
type Carried struct {
	Piece   string   `json:"piece"`        // whose cross seam it is
	To      string   `json:"to,omitempty"` // the piece as far as which it goes
	Seams   []string `json:"seams"`
	OffMM   float64  `json:"off_mm"`             // how far its ends are from meeting, at most
	TurnDeg float64  `json:"turn_deg"`           // by how much it turns at a join, at most
	TurnsAt string   `json:"turns_at,omitempty"` // the join at which it does: "front/armhole sleeve/cap-front"
	Above   string   `json:"above"`              // the look above it, and below
	Below   string   `json:"below"`

	Meets []CarriedMeet `json:"meets,omitempty"`
	Past  []string      `json:"past,omitempty"` // the facings behind edges that it ends on: it does not go on into them
}

// CarriedMeet is where the line goes on across a join, from one of its seams to
// another or to the other end of the same one.
type CarriedMeet struct {
	From    string    `json:"from"`
	To      string    `json:"to"`
	Join    [2]string `json:"join"` // "front/side", "back/side"
	OffMM   float64   `json:"off_mm"`
	TurnDeg float64   `json:"turn_deg"`
}

// SmoothDeg is by how much a line may turn at a join and still look smooth.
const SmoothDeg = 8.0

// Words says it in a sentence.
func (c *Carried) Words() string {
	said := And(c.Seams) + " are one line"
	if len(c.Seams) == 1 {
		said = c.Seams[0] + " is one line all round"
	}
	if c.Above == c.Below {
		said += fmt.Sprintf(", %s above and below", c.Above)
	} else {
		said += fmt.Sprintf(", %s above it and %s below", c.Above, c.Below)
	}
	if len(c.Past) > 0 {
		lie := "lies"
		if len(c.Past) > 1 {
			lie = "lie"
		}
		said += fmt.Sprintf("; it goes past %s, which %s behind it", And(c.Past), lie)
	}
	said += fmt.Sprintf("; at the joins its ends meet within %.1f mm", c.OffMM)
	if c.TurnDeg > SmoothDeg {
		at := strings.Replace(c.TurnsAt, " ", " to ", 1)
		for _, m := range c.Meets {
			if m.Join[0]+" "+m.Join[1] == c.TurnsAt {
				at = m.Join[0] + " to " + m.Join[1]
			}
		}
		return said + fmt.Sprintf(", and it turns by up to %.0f° (%s)", c.TurnDeg, at)
	}
	return said + ", and it runs on smoothly"
}

// And lists words: "A, B and C".
func And(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
