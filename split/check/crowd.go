package check

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"eke/split/plan"
)

// crowd is copies or parts of them that do not all lie on a scrap.
type crowd struct {
	on    id
	parts []crowdPart
}

// crowdPart is a copy, or with a cut a part of it.
type crowdPart struct {
	at   id
	part part
}

// sorts tells parts apart whatever their levels. No two of a crowd are the same: they
// would be told of one that lies there.
func (q crowdPart) sorts() crowdPart {
	q.part.cut.levelMM, q.part.first.levelMM = 0, 0
	return q
}

// has reports whether a part has all of another of its sort.
func (q crowdPart) has(o crowdPart) bool {
	return q.sorts() == o.sorts() && q.part.cut.has(o.part.cut) && q.part.first.has(o.part.first)
}

// has reports whether a side has all that another of the same lines has.
func (s sideOf) has(o sideOf) bool {
	if s.before {
		return s.levelMM >= o.levelMM
	}
	return s.levelMM <= o.levelMM
}

// crowdOf is a crowd as it is told.
func crowdOf(f *plan.Crowd) (c crowd, err error) {
	c.on = id{f.Scrap, f.ScrapCopy}
	if len(f.Parts) < 2 || len(f.Parts) > mostTogether {
		return c, fmt.Errorf("%d parts are told of, and this is about 2 to %d", len(f.Parts), mostTogether)
	}
	for _, told := range f.Parts {
		q := crowdPart{at: id{told.Piece, told.Copy}}
		if told.Cut != nil {
			if q.part, err = partSaid(told.Cut, told.First); err != nil {
				return c, err
			}
		} else if told.First != nil {
			return c, fmt.Errorf("a first cut is told, and no other")
		}
		if slices.ContainsFunc(c.parts, func(o crowdPart) bool { return o.sorts() == q.sorts() }) {
			return c, fmt.Errorf("a part of piece %s is told of twice", q.at)
		}
		c.parts = append(c.parts, q)
	}
	return c, nil
}

// crowded proves that some parts do not all lie on a scrap.
func (p *leastProof) crowded(ctx context.Context, f *plan.Crowd) error {
	c, err := crowdOf(f)
	if err != nil {
		return err
	}
	if p.scraps[c.on] == nil {
		return fmt.Errorf("there is no such scrap")
	}
	if f.OffMM < leewayMM {
		return fmt.Errorf("that it is off by %g mm says nothing: a plan may be off by %g", f.OffMM, leewayMM)
	}
	key, err := json.Marshal(f)
	if err != nil {
		return err
	}
	var all []*lying
	for _, q := range c.parts {
		cloud := p.clouds[q.at]
		if cloud == nil {
			return fmt.Errorf("there is no piece %s to cut", q.at)
		}
		key = fmt.Append(key, p.body[q.at], "\n")
		l := cloud.lyingWhole(q.at)
		if q.part != (part{}) {
			if l, err = cloud.lyingPart(q.at, q.part); err != nil {
				return err
			}
		}
		all = append(all, l)
	}
	if p.crowdsKnown[string(key)] {
		return nil
	}
	fits := func(l *lying) bool { return p.allowed(l.at, c.on) }
	if !slices.ContainsFunc(all, func(l *lying) bool { return !fits(l) }) && !p.togetherNowhere(ctx, all, c.on, f.OffMM) {
		if ctx.Err() != nil {
			return fmt.Errorf("there was no time to prove it")
		}
		return fmt.Errorf("no proof was found that it is off by %g mm everywhere", f.OffMM)
	}
	p.crowdsKnown[string(key)] = true
	return nil
}

// overfull reports whether what lies on a scrap has all parts of a crowd.
func (p *leastProof) overfull(on id, parts []lain) bool {
	return slices.ContainsFunc(p.crowds, func(c crowd) bool {
		return c.on == on && !slices.ContainsFunc(c.parts, func(q crowdPart) bool {
			return !slices.ContainsFunc(parts, func(l lain) bool { return crowdPart{l.at, l.part}.has(q) })
		})
	})
}

// toldTogether is what does not lie on a scrap together.
func toldTogether(f *plan.Crowd) (what string) {
	for i, q := range f.Parts {
		if i > 0 {
			what += " and "
		}
		what += told(&plan.Cannot{Piece: q.Piece, Copy: q.Copy, Cut: q.Cut, First: q.First})
	}
	return what
}
