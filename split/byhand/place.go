package byhand

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"eke/piece/plane"
	"eke/split/fit"
	"eke/split/plan"

	"github.com/paulmach/orb"
)

// ReachMM is how far a part slides to where it can lie, and to touch.
const ReachMM = 8.0

// Lay is how a part lies on a scrap, or would.
type Lay struct {
	Scrap   int
	At      orb.Point     // of its handle on the scrap
	TurnDeg float64       // from lying along the scrap's grain the right way up
	Where   fit.Placement // takes the part's own coordinates to the scrap's
	OK      bool          // the proof says that it can be cut there, beside what else lies there
	OverMM  float64       // how far it reaches off the cloth or into a hole
	Laps    []string      // parts that it lies on, or nearer to than the gap
	Why     string        // what else the proof says against it
}

// On is how a part lies; ok is false where it lies nowhere.
func (p *Plan) On(part *Part) (lay Lay, ok bool) {
	l, ok := p.on[part.node]
	if !ok {
		return lay, false
	}
	return p.lay(part, l.scrap, l.at), true
}

// lay is how a part lies on a scrap beside what else is there.
func (p *Plan) lay(part *Part, scrap int, at fit.Placement) Lay {
	g := p.given
	out := Lay{Scrap: scrap, Where: at, At: at.Apply(orb.Ring{part.Handle})[0], TurnDeg: math.Remainder(at.Deg-g.straight(part, scrap), 360)}
	own := g.lies(part, scrap, at)
	if len(own.Faults) > 0 {
		out.Why = own.Faults[0].Detail
	}
	out.OverMM = g.places.Cloth(scrap).Off(part.blank.Shape, at)
	if len(own.Faults) == 0 && out.OverMM < 0.05 { // within what the proof lets be
		out.OverMM = 0
	}
	for _, o := range p.others(scrap, part) {
		if len(g.proofs[scrap].Beside(own, g.lies(o.part, scrap, o.at))) > 0 {
			out.Laps = append(out.Laps, o.part.Name)
		}
	}
	out.OK = len(own.Faults)+len(out.Laps) == 0
	return out
}

// straight is the turn at which a part lies along the grain of a scrap the right way up.
func (g *Given) straight(part *Part, scrap int) float64 {
	return g.scraps[scrap].GrainDeg - g.drawn[part.Copy].GrainDeg
}

// Spot is where a part is to lie.
type Spot struct {
	Scrap   int
	At      orb.Point // of its handle on the scrap
	TurnDeg float64   // from lying along the scrap's grain the right way up
	Still   bool      // it does not slide to where it can lie
}

// Try is how a part would lie with its handle at a point of a scrap, turned from the
// grain: at the nearest turn that the cloth allows, and slid to where it can lie
// where that is near. It is an error where the part may not be cut from the scrap.
func (p *Plan) Try(ctx context.Context, partName string, s Spot) (*Part, Lay, error) {
	part, err := p.cutFrom(partName, s.Scrap)
	if err != nil {
		return nil, Lay{}, err
	}
	scrap, at, turnDeg := s.Scrap, s.At, s.TurnDeg
	if err := cmp.Or(finite("x", at[0]), finite("y", at[1]), finite("turn", turnDeg)); err != nil {
		return nil, Lay{}, err
	}
	g := p.given
	turn, deg := allowedTurn(g.places.Turns(part.blank, scrap), g.straight(part, scrap)+turnDeg)
	want := handled(part.Handle, at, deg)
	if s.Still {
		return part, p.lay(part, scrap, want), nil
	}
	free := g.freeOf(scrap, p.others(scrap, part))
	best, least := fit.Placement{}, math.Inf(1)
	for _, bin := range free.bins {
		cloth := free.places.Cloth(bin)
		near, ok := fit.Near(ctx, cloth, part.blank.Shape, want, turn, ReachMM)
		if !ok {
			continue
		}
		off := func(to fit.Placement) float64 { return plane.Distance(to.Apply(orb.Ring{part.Handle})[0], at) }
		if touching := fit.Touch(cloth, part.blank.Shape, near, ReachMM); off(touching) <= ReachMM {
			near = touching
		}
		if mm := off(near); mm < least {
			best, least = near, mm
		}
	}
	if !math.IsInf(least, 1) {
		if lay := p.lay(part, scrap, best); lay.OK {
			return part, lay, nil
		}
	}
	return part, p.lay(part, scrap, want), nil
}

// Placed lays a part on a scrap, as Try says it would lie.
func (p *Plan) Placed(ctx context.Context, partName string, s Spot) (*Plan, Lay, error) {
	part, lay, err := p.Try(ctx, partName, s)
	if err != nil {
		return nil, Lay{}, err
	}
	return p.laid(part, s.Scrap, lay.Where), lay, nil
}

// Fitted lays a part on a scrap where it fits, or else hangs off least as far as is
// known.
func (p *Plan) Fitted(ctx context.Context, partName string, scrap int) (*Plan, Lay, error) {
	part, err := p.cutFrom(partName, scrap)
	if err != nil {
		return nil, Lay{}, err
	}
	at := p.best(ctx, part, scrap)
	return p.laid(part, scrap, at), p.lay(part, scrap, at), nil
}

// cutFrom is a part that may be cut from a scrap.
func (p *Plan) cutFrom(partName string, scrap int) (*Part, error) {
	part, err := p.part(partName)
	if err != nil {
		return nil, err
	}
	if scrap < 0 || scrap >= len(p.given.scraps) {
		return nil, fmt.Errorf("there is no scrap %d; they are counted from 0 to %d", scrap, len(p.given.scraps)-1)
	}
	if !p.given.places.MayCut(part.blank, scrap) {
		return nil, fmt.Errorf("%s may not be cut from %s: its fabric, kind or use is another", part.Name, p.given.scraps[scrap].ID())
	}
	return part, nil
}

// allowedTurn is the turn that is nearest to one among those that a part may take,
// and the range that it is of.
func allowedTurn(turns []fit.Turn, deg float64) (of fit.Turn, at float64) {
	least := math.Inf(1)
	for _, t := range turns {
		off := math.Remainder(deg-t.Deg, 360)
		within := math.Min(math.Max(off, -t.ToleranceDeg), t.ToleranceDeg)
		if d := math.Abs(off - within); d < least-1e-9 {
			of, at, least = t, t.Deg+within, d
		}
	}
	return of, at
}

// handled is the placement at a turn that takes a handle to a point.
func handled(handle, to orb.Point, deg float64) fit.Placement {
	p := fit.Placement{Deg: deg}
	q := p.Apply(orb.Ring{handle})[0]
	p.DX, p.DY = to[0]-q[0], to[1]-q[1]
	return p
}

// Trouble is what is wrong with how a part lies, in words; empty where nothing is.
func (l Lay) Trouble() string {
	switch {
	case l.OK:
		return ""
	case len(l.Laps) > 0 && l.OverMM > 0:
		return fmt.Sprintf("it hangs off by %.1f mm and is too near to %s", l.OverMM, plan.And(l.Laps))
	case len(l.Laps) > 0:
		return "it is too near to " + plan.And(l.Laps)
	case l.OverMM > 0:
		return fmt.Sprintf("it hangs off by %.1f mm", l.OverMM)
	}
	return l.Why
}
