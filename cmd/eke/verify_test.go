package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"eke/split/check"
	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// written is plan.json as another program would read it: only the fields that
// it may rely on, by their names in the file.
type written struct {
	Format  string  `json:"format"`
	Gap     float64 `json:"gap_mm"`
	Degrees float64 `json:"grain_tolerance_deg"`
	Seed    uint64  `json:"seed"`
	Pieces  []struct {
		Name     string
		Copy     int
		SeamLine ring    `json:"seam_line"`
		Grain    float64 `json:"grain_deg"`
	}
	Scraps []struct {
		Name    string
		Copy    int
		Outline ring
		Holes   []ring
		Grain   float64 `json:"grain_deg"`
		Nap     bool
		Face    string
	}
	Options []struct {
		Rank      int
		Seams     int
		Length    float64 `json:"seam_length_mm"`
		Intrusion float64
		Cost      []struct{ Points float64 }
		Parts     []struct {
			Name, Piece string
			Copy        int
			SeamLine    ring `json:"seam_line"`
			CutLine     ring `json:"cut_line"`
			Notches     []struct {
				At  dot
				For string
			}
			Scrap, Look string
			ScrapCopy   int `json:"scrap_copy"`
			Placement   [6]float64
			Edges       []struct {
				Allowance float64 `json:"allowance_mm"`
			}
		}
		Piecing []struct {
			Name, Kind, Piece string
			Line              ring
			Length            float64 `json:"length_mm"`
			Parts             []string
		} `json:"piecing_seams"`
		Moved []struct {
			Join, From, To string
			By             float64 `json:"by_mm"`
			FromLength     float64 `json:"from_length_mm"`
			ToLength       float64 `json:"to_length_mm"`
		} `json:"moved_seams"`
	}
	Short []struct {
		Piece, Scrap, Split string
		Along               float64 `json:"along_mm"`
		Across              float64 `json:"across_mm"`
	}
}

// slackMM is what any check may be off by.
const slackMM = 0.06

// verified reads the plan that a run wrote and holds it against the rules
// twice: with eke's own proof, and with the few sums below.
func verified(t testing.TB, dir string) written {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	require.NoError(t, err)
	d, err := plan.Read(strings.NewReader(string(data)))
	require.NoError(t, err)
	require.Empty(t, check.Document(d))
	var w written
	require.NoError(t, json.Unmarshal(data, &w))
	require.Equal(t, "eke-plan/1", w.Format)
	for k := range w.Options {
		w.verify(t, k)
	}
	return w
}

func (w *written) verify(t testing.TB, k int) {
	t.Helper()
	o := &w.Options[k]
	require.Equal(t, k+1, o.Rank)
	require.Equal(t, len(o.Piecing), o.Seams)
	require.NotEmpty(t, o.Parts)
	var cost, length float64
	for _, c := range o.Cost {
		cost += c.Points
	}
	require.InDelta(t, o.Intrusion, cost, 0.1)
	for _, s := range o.Piecing {
		require.InDelta(t, s.Length, s.Line.length(false), 0.1, s.Name)
		length += s.Length
		require.GreaterOrEqual(t, len(s.Parts), 2)
	}
	require.InDelta(t, o.Length, length, 0.2)

	// What the parts of a piece cover is the piece; where seams moved, all
	// together cover as much as before.
	covered, whole, round := map[string]float64{}, map[string]float64{}, 0.0
	for _, p := range w.Pieces {
		id := fmt.Sprint(p.Name, p.Copy)
		if len(o.Moved) > 0 {
			id = "all"
		}
		whole[id] += p.SeamLine.area()
		round += p.SeamLine.length(true)
	}
	for _, p := range o.Parts {
		id := fmt.Sprint(p.Piece, p.Copy)
		if len(o.Moved) > 0 {
			id = "all"
		}
		covered[id] += p.SeamLine.area()
	}
	require.Len(t, covered, len(whole))
	for id := range whole {
		require.InDelta(t, whole[id], covered[id], slackMM*round, id)
	}
	for _, m := range o.Moved {
		require.InDelta(t, m.FromLength, m.ToLength, 0.1)
	}

	laid := make([]ring, len(o.Parts))
	for i, p := range o.Parts {
		least := math.Inf(1)
		for _, e := range p.Edges {
			least = math.Min(least, e.Allowance)
		}
		for _, q := range p.SeamLine {
			require.True(t, p.CutLine.holds(q), "%s: its seam line leaves its cutting line", p.Name)
			require.GreaterOrEqual(t, p.CutLine.distance(q), least-slackMM, "%s has less allowance", p.Name)
		}
		laid[i] = p.CutLine.move(p.Placement)
		found := false
		for _, s := range w.Scraps {
			if s.Name != p.Scrap || s.Copy != p.ScrapCopy {
				continue
			}
			found = true
			for _, q := range laid[i].fine() {
				require.True(t, s.Outline.holds(q) || s.Outline.distance(q) < slackMM, "%s is off %s at %v", p.Name, s.Name, q)
				for _, h := range s.Holes {
					require.True(t, !h.holds(q) || h.distance(q) < slackMM, "%s is over a hole of %s at %v", p.Name, s.Name, q)
				}
			}
			for _, piece := range w.Pieces {
				if piece.Name != p.Piece || piece.Copy != p.Copy {
					continue
				}
				turned := math.Atan2(p.Placement[1], p.Placement[0]) * 180 / math.Pi
				full := 180.0
				if s.Nap {
					full = 360
				}
				off := math.Abs(math.Remainder(piece.Grain+turned-s.Grain, full))
				require.LessOrEqual(t, off, w.Degrees+0.01, "%s lies off the grain of %s", p.Name, s.Name)
			}
			require.True(t, s.Face == "both" || p.Placement[0]*p.Placement[3]-p.Placement[1]*p.Placement[2] > 0)
		}
		require.True(t, found, "%s comes from no scrap", p.Name)
		for j := range i {
			if o.Parts[j].Scrap != p.Scrap || o.Parts[j].ScrapCopy != p.ScrapCopy {
				continue
			}
			require.False(t, laid[i].holds(laid[j][0]) || laid[j].holds(laid[i][0]), "%s lies on %s", p.Name, o.Parts[j].Name)
			clear := math.Min(laid[i].clearance(laid[j]), laid[j].clearance(laid[i]))
			require.GreaterOrEqual(t, clear, w.Gap-slackMM, "%s is too near to %s", p.Name, o.Parts[j].Name)
		}
	}

	for _, s := range o.Piecing {
		marks := 0
		for i, p := range o.Parts {
			for _, n := range p.Notches {
				if n.For != s.Name {
					continue
				}
				marks++
				mates := 0
				for j, q := range o.Parts {
					for _, m := range q.Notches {
						if i != j && m.For == s.Name && math.Hypot(m.At[0]-n.At[0], m.At[1]-n.At[1]) < 0.1 {
							mates++
						}
					}
				}
				require.Equal(t, 1, mates, "a notch of seam %s on %s has no mate", s.Name, p.Name)
			}
		}
		require.GreaterOrEqual(t, marks, 2, "seam %s has no notches", s.Name)
	}
}

type (
	dot  [2]float64
	ring []dot
)

func (r ring) area() float64 {
	var sum float64
	for i, a := range r {
		b := r[(i+1)%len(r)]
		sum += (a[0]*b[1] - b[0]*a[1]) / 2
	}
	return math.Abs(sum)
}

func (r ring) length(closed bool) (sum float64) {
	for i, a := range r {
		if b := r[(i+1)%len(r)]; closed || i+1 < len(r) {
			sum += math.Hypot(b[0]-a[0], b[1]-a[1])
		}
	}
	return sum
}

// holds counts how often a ray to the right crosses the ring.
func (r ring) holds(q dot) bool {
	in := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a[1] > q[1]) != (b[1] > q[1]) && q[0] < a[0]+(q[1]-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
			in = !in
		}
	}
	return in
}

// distance is from a point to the ring's line.
func (r ring) distance(q dot) float64 {
	least := math.Inf(1)
	for i, a := range r {
		b := r[(i+1)%len(r)]
		dx, dy := b[0]-a[0], b[1]-a[1]
		f := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			f = math.Max(0, math.Min(1, ((q[0]-a[0])*dx+(q[1]-a[1])*dy)/l))
		}
		least = math.Min(least, math.Hypot(a[0]+f*dx-q[0], a[1]+f*dy-q[1]))
	}
	return least
}

// clearance is the least distance of the corners of r from o: where neither
// line crosses the other, the lines are nearest at a corner of one of them.
func (r ring) clearance(o ring) float64 {
	least := math.Inf(1)
	for _, q := range r {
		least = math.Min(least, o.distance(q))
	}
	return least
}

// fine is the ring with points at most 2 mm apart.
func (r ring) fine() ring {
	var out ring
	for i, a := range r {
		b := r[(i+1)%len(r)]
		n := math.Ceil(math.Hypot(b[0]-a[0], b[1]-a[1])/2) + 1
		for k := range int(n) {
			f := float64(k) / n
			out = append(out, dot{a[0] + f*(b[0]-a[0]), a[1] + f*(b[1]-a[1])})
		}
	}
	return out
}

func (r ring) move(m [6]float64) ring {
	out := make(ring, len(r))
	for i, q := range r {
		out[i] = dot{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	return out
}
