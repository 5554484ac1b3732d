package check

import "math"

// placed proves that one part can be cut from its scrap where it lies.
func (o *optionProof) placed(p *partProof) {
	m := p.Placement
	f := Fault{Part: p.label}
	// Coordinates may be written with six decimals, and cloth is metres.
	const rigid = 1e-5
	across, along := math.Hypot(m[0], m[1]), math.Hypot(m[2], m[3])
	if math.Abs(across-1) > rigid || math.Abs(along-1) > rigid || math.Abs(m[0]*m[2]+m[1]*m[3]) > rigid {
		f.Rule = Placement
		o.fail(f, "the placement %v is no turn and shift", m)
		return
	}
	if p.scrap == nil {
		return
	}
	f.Scrap = p.scrap.id.String()
	if m[0]*m[3]-m[1]*m[2] < 0 && p.scrap.Face != "both" {
		f.Rule = Face
		o.fail(f, "the part is turned over on cloth with one right side")
	}
	if !p.scrap.allows(p.piece.Fabric) {
		f.Rule = Fabric
		o.fail(f, "the piece asks for %q and the scrap is %q", p.piece.Fabric, p.scrap.Fabric)
	}
	o.grain(p, f)
	if p.broken {
		return
	}
	if err := p.laid.lay(&p.cut, m); err != nil {
		f.Rule = Outline
		o.fail(f, "placed: %v", err)
		p.broken = true
		return
	}
	on, err := p.scrap.holds(p.laid.geom)
	if err != nil {
		f.Rule = NotProvable
		o.fail(f, "on its scrap: %v", err)
	} else if !on {
		f.Rule = Overhang
		mm, at := p.scrap.overhang(&p.laid)
		o.fail(f, "the cutting line is off the cloth, by %.2f mm at %.1f, %.1f", mm, at[0], at[1])
	}
	for i := range p.scrap.holes {
		in, err := p.scrap.strikes(i, &p.laid)
		if err != nil {
			f.Rule = NotProvable
			o.fail(f, "by hole %d: %v", i+1, err)
		} else if in {
			f.Rule = Hole
			o.fail(f, "the cutting line takes in hole %d", i+1)
		}
	}
}

// grain proves that the part lies along the grain.
func (o *optionProof) grain(p *partProof, f Fault) {
	const roundDeg = 0.001
	f.Rule = Grain
	if off := grainOff(p.GrainDeg, p.piece.GrainDeg, true); off > roundDeg {
		o.fail(f, "its grain is drawn %.3f degrees off its piece's", off)
	}
	m := p.Placement
	sin, cos := math.Sincos(p.piece.GrainDeg * math.Pi / 180)
	lies := math.Atan2(m[1]*cos+m[3]*sin, m[0]*cos+m[2]*sin) * 180 / math.Pi
	off := grainOff(lies, p.scrap.GrainDeg, p.scrap.Nap)
	if off > o.doc.GrainToleranceDeg+roundDeg {
		what := "grain"
		if p.scrap.Nap {
			what = "nap"
		}
		o.fail(f, "it lies %.2f degrees off the %s, and %g are allowed", off, what, o.doc.GrainToleranceDeg)
	}
}

// lay makes r the region that m places s at.
func (r *region) lay(s *region, m [6]float64) error {
	ring := make([]point, len(s.ring))
	for i, q := range s.ring {
		ring[i] = point{m[0]*q[0] + m[2]*q[1] + m[4], m[1]*q[0] + m[3]*q[1] + m[5]}
	}
	var err error
	*r, err = newRegion(ring)
	return err
}

// gaps proves that parts on one scrap are clear of each other.
func (o *optionProof) gaps() {
	for i, p := range o.parts {
		for _, q := range o.parts[:i] {
			if p.scrap == nil || p.scrap != q.scrap || p.laid.ring == nil || q.laid.ring == nil {
				continue
			}
			f := Fault{Rule: Gap, Part: p.label, Scrap: p.scrap.id.String()}
			clear, err := apart(&p.laid, &q.laid, o.doc.GapMM)
			if err != nil {
				f.Rule = NotProvable
				o.fail(f, "beside part %s: %v", q.label, err)
			} else if clear < o.doc.GapMM-SlackMM {
				o.fail(f, "%.2f mm clear of part %s, and the gap is %g mm", clear, q.label, o.doc.GapMM)
			}
		}
	}
}

// apart is how far two regions are from each other, or enough where that is
// less; where they overlap by more than the slack it is less than -SlackMM.
func apart(p, q *region, enough float64) (float64, error) {
	if p.box.apart(q.box) >= enough && p.box.apart(q.box) > 0 {
		return enough, nil
	}
	clear := clearance(p.ring, q.ring, math.Max(enough, hairMM))
	if clear > 0 && !within(p.ring, q.ring[0]) && !within(q.ring, p.ring[0]) {
		return math.Min(clear, enough), nil
	}
	if enough > SlackMM {
		return 0, nil
	}
	// So small a gap lets the cutting lines meet, and cross by the slack.
	core, err := grown(p.geom, enough-SlackMM)
	if err != nil {
		return 0, err
	}
	other := prepared{}
	if err := other.prepare(q.geom, 0); err != nil {
		return 0, err
	}
	if deep, err := other.Intersects(core); deep || err != nil {
		return math.Inf(-1), err
	}
	return enough - SlackMM, nil
}
