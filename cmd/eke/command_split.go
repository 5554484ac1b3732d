package main

import (
	"fmt"
	"slices"
	"strings"

	"eke/cmd/job"

	"eke/allowance"
	"eke/piece"
	"eke/piece/scraps"
	"eke/split"
	"eke/split/check"
	"eke/split/plan"
	"eke/split/search"

	"github.com/spf13/cobra"
)

type splitFlags struct {
	out       string
	piece     string
	yokes     []string
	curved    []string
	panels    []string
	centre    bool
	levels    bool
	moves     []string
	allowance lengthValue
	dartReach lengthValue
	show      show
}

func newSplit() *cobra.Command {
	f := splitFlags{allowance: lengthValue{10}, dartReach: lengthValue{split.DartReachMM}}
	cmd := &cobra.Command{
		Use:   "split PATTERN --piece NAME [lines] -o DIR",
		Short: "Split one piece along lines of your own",
		Long: `split cuts one piece where you say and writes its parts at true size, with seam
allowance on the new edges and notches that meet. Lines may be given together;
each cuts every part of the piece that it crosses.`,
		Example: `  eke split samples/tshirt.svg --piece front --yoke 255mm -o halves
  eke split samples/tshirt.svg --piece front --centre -o halves
  eke split samples/tshirt.svg --piece front --move shoulder=30mm -o halves`,
		Args: just(1),
		RunE: func(cmd *cobra.Command, args []string) error { return f.run(cmd, args[0]) },
	}
	fl := cmd.Flags()
	fl.StringVarP(&f.out, "output", "o", "", "`folder` to write; without it only the table is printed")
	fl.StringVar(&f.piece, "piece", "", "the `piece` to split")
	fl.StringArrayVar(&f.yokes, "yoke", nil, "a seam across the grain (a yoke or a cross seam), this `length` below the top of the piece, such as 180mm")
	fl.StringArrayVar(&f.curved, "curved-yoke", nil, "a gentle arc across the grain, its middle this `length` below the top and its ends lower, or higher, as in 180mm:up")
	fl.StringArrayVar(&f.panels, "panel", nil, "a lengthwise seam, along the grain, this `length` from the centre front or back: right of the fold, such as 60mm, or left of it, -60mm; into the piece from an edge named centre, centre-front or centre-back; from the middle of a piece that has neither")
	fl.BoolVar(&f.centre, "centre", false, "a centre seam")
	fl.BoolVar(&f.levels, "level", false, "every level line drawn on the piece")
	fl.StringArrayVar(&f.moves, "move", nil, "move the seam at a joined `edge` into the piece, such as shoulder=30mm, or shoulder=30mm:neck to taper to nothing at the neck")
	fl.Var(&f.allowance, "allowance", "seam allowance of a piecing seam")
	fl.Var(&f.dartReach, "dart-reach", dartReachUsage)
	f.show.flags(cmd)
	return cmd
}

func (f *splitFlags) run(cmd *cobra.Command, path string) error {
	if err := f.allowance.within("--allowance", 0, 100); err != nil {
		return err
	}
	if err := f.dartReach.within("--dart-reach", 0, 100); err != nil {
		return err
	}
	pieces, err := job.Pattern(path)
	if err != nil {
		return err
	}
	if err := f.named(pieces, path); err != nil {
		return err
	}
	if err := job.CanWrite(f.out); err != nil {
		return err
	}
	f.show.instead = job.OtherPattern(f.out, path)
	drawn := split.Copies(pieces)
	p := &split.Plan{Pieces: drawn}
	for _, mv := range f.moves {
		if err := f.move(p, mv); err != nil {
			return err
		}
	}
	for _, c := range p.Pieces {
		t := new(split.Tree)
		if c.Name == f.piece {
			if err := f.cut(c, t); err != nil {
				return err
			}
		}
		p.Trees = append(p.Trees, t)
	}
	// Only the piece, and what a moved seam changed.
	var keptDrawn []*piece.Piece
	kept := &split.Plan{Moves: p.Moves}
	for i, c := range p.Pieces {
		if c.Name == f.piece || c != drawn[i] {
			keptDrawn = append(keptDrawn, drawn[i])
			kept.Pieces, kept.Trees = append(kept.Pieces, c), append(kept.Trees, p.Trees[i])
		}
	}
	made, err := split.Make(kept, f.allowance.mm)
	if err != nil {
		return err
	}
	cloth := clothEnough(made)
	r := split.Record{
		Settings: plan.Settings{AllowanceMM: f.allowance.mm, DartReachMM: f.dartReach.mm},
		Drawn:    keptDrawn, Whole: drawn, Scraps: cloth, Plans: []*split.Made{made},
	}
	d := r.Document()
	d.Pattern, d.FewestReason = path, "the lines were given by hand"
	d.Warnings = allowance.Warnings(pieces)
	d.Notes = append(job.NotesOn(pieces, nil, search.Options{}), "the seams were given by hand, and no scraps: each part is laid on the least cloth that holds it")
	if faults := check.Document(d); len(faults) > 0 {
		return job.Fault{Err: fmt.Errorf("the split of %s in %s failed its proof and was not written: %w", f.piece, path, faults[0])}
	}
	if f.out != "" {
		if err := job.Write(f.out, job.Files(d, f.show.units.Unit)); err != nil {
			return err
		}
	}
	return f.show.result(cmd.OutOrStdout(), d, f.out, f.show.cloth)
}

func (f *splitFlags) named(pieces []*piece.Piece, path string) error {
	var names []string
	for _, p := range pieces {
		if p.Name == f.piece {
			if p.Ready {
				return fmt.Errorf("%s: %q is cut already, and a split would cut it again; take out ready: yes (or cut: 0) if it is not", path, p.Name)
			}
			return nil
		}
		names = append(names, p.Name)
	}
	if f.piece == "" {
		return fmt.Errorf("say which piece with --piece; %s has %s", path, strings.Join(names, ", "))
	}
	return fmt.Errorf("%s has no piece %q; it has %s", path, f.piece, strings.Join(names, ", "))
}

// cut puts every line that was asked for into the tree of one copy.
func (f *splitFlags) cut(p *piece.Piece, t *split.Tree) error {
	whole := split.NewBody(p, p.Outline)
	add := func(flag string, w split.Way, level float64) error {
		if t.ByHand(p, w, level, f.dartReach.mm) == 0 {
			return fmt.Errorf("%s: the line does not cut %s in two; its seam line is %.0f mm long and %.0f mm wide", flag, p.Name, whole.Hi[1]-whole.Lo[1], whole.Hi[0]-whole.Lo[0])
		}
		return nil
	}
	lines := 0
	for _, s := range f.yokes {
		mm, err := scraps.ParseLength(s)
		if err != nil {
			return fmt.Errorf("--yoke %s: %w", s, err)
		}
		lines++
		if err := add("--yoke "+s, split.Yoke{}, whole.Lo[1]+mm); err != nil {
			return err
		}
	}
	for _, s := range f.curved {
		length, way, bent := strings.Cut(s, ":")
		mm, err := scraps.ParseLength(length)
		if err == nil && bent && way != "up" && way != "down" {
			err = fmt.Errorf("%q is neither up nor down", way)
		}
		if err != nil {
			return fmt.Errorf("--curved-yoke %s: %w", s, err)
		}
		lines++
		if err := add("--curved-yoke "+s, split.CurvedYoke{Up: way == "up"}, whole.Lo[1]+mm); err != nil {
			return err
		}
	}
	if f.centre {
		lines++
		if err := add("--centre", split.Panel{}, split.CentreOf(whole)); err != nil {
			return err
		}
	}
	for _, s := range f.panels {
		mm, err := scraps.ParseLength(s)
		if err != nil {
			return fmt.Errorf("--panel %s: %w", s, err)
		}
		lines++
		if err := add("--panel "+s, split.Panel{}, split.FromCentre(whole, mm)); err != nil {
			return err
		}
	}
	if f.levels {
		if len(p.Levels) == 0 {
			return fmt.Errorf("--level: %s has no level line; draw one across the piece and name it level", p.Name)
		}
		for i, l := range p.Levels {
			lines++
			if err := add("--level", &split.Drawn{Name: fmt.Sprint("level ", i+1), Path: l}, 0); err != nil {
				return err
			}
		}
	}
	if lines == 0 && len(f.moves) == 0 {
		return fmt.Errorf("say where to split %s: --yoke 180mm, --centre, --panel 60mm, --level or --move shoulder=30mm", p.Name)
	}
	return nil
}

// move applies one --move to the whole pattern.
func (f *splitFlags) move(p *split.Plan, s string) error {
	edge, length, ok := strings.Cut(s, "=")
	if !ok {
		return fmt.Errorf("--move %s: give the edge and how far, such as shoulder=30mm", s)
	}
	length, stays, _ := strings.Cut(length, ":")
	edge, stays = piece.EdgeName(edge), piece.EdgeName(stays)
	mm, err := scraps.ParseLength(length)
	if err != nil {
		return fmt.Errorf("--move %s: %w", s, err)
	}
	const most = 1000
	if !(mm >= split.LeastMoveMM && mm <= most) {
		return fmt.Errorf("--move %s: give %g mm to %g mm", s, split.LeastMoveMM, float64(most))
	}
	for _, c := range p.Pieces {
		if c.Name != f.piece {
			continue
		}
		for _, e := range c.Outline {
			if e.Name != edge || len(e.Joins) == 0 {
				continue
			}
			if i := slices.IndexFunc(p.Pieces, func(q *piece.Piece) bool { return q.Name == e.Joins[0].Piece && q.Ready }); i >= 0 {
				return fmt.Errorf("--move %s: %s is cut already, and seams to it stay where they are", s, p.Pieces[i].Name)
			}
			m := split.Move{From: piece.Ref{Piece: c.Name, Edge: edge}, To: e.Joins[0], ByMM: mm, Stays: stays}
			pieces, err := m.Apply(p.Pieces)
			if err != nil {
				return fmt.Errorf("--move %s: %w", s, err)
			}
			p.Pieces, p.Moves = pieces, append(p.Moves, m)
			return nil
		}
	}
	return fmt.Errorf("--move %s: %s has no edge %q that joins another piece%s", s, f.piece, edge, joinedEdges(p.Pieces, f.piece))
}

// joinedEdges lists the edges of a piece that are sewn to others.
func joinedEdges(copies []*piece.Piece, name string) string {
	var edges []string
	for _, p := range copies {
		for _, e := range p.Outline {
			other := slices.ContainsFunc(e.Joins, func(r piece.Ref) bool { return r.Piece != name })
			if p.Name == name && other && !slices.Contains(edges, e.Name) {
				edges = append(edges, e.Name)
			}
		}
	}
	if len(edges) == 0 {
		return ""
	}
	return "; those that do are " + strings.Join(edges, ", ")
}
