package search

import (
	"testing"

	"eke/piece"
	"eke/split"

	"github.com/stretchr/testify/require"
)

// Seams that are added or moved to no purpose do not make another plan.
func TestAddsOnly(t *testing.T) {
	pieces, pile := sampleShirt(t)
	d := &driver{table: newTable(pile, Options{}.withDefaults())}
	plan := func(scraps []int, moves, seams int) *split.Made {
		p := &split.Plan{Pieces: pieces, Moves: make([]split.Move, moves)}
		for _, s := range scraps {
			p.Trees = append(p.Trees, &split.Tree{Scrap: s})
		}
		for k := range seams {
			p.Trees[k] = &split.Tree{Way: split.Yoke{}, LevelMM: 100, Near: p.Trees[k], Far: &split.Tree{Scrap: 3}}
		}
		return &split.Made{Plan: p, Seams: make([]split.PiecingSeam, seams)}
	}
	plain := plan([]int{0, 1}, 0, 0)
	require.True(t, d.addsOnly(plan([]int{0, 1}, 1, 0), plain), "a seam moved, and all from the same scraps")
	require.True(t, d.addsOnly(plan([]int{0, 1}, 0, 1), plain), "a seam added")
	require.False(t, d.addsOnly(plan([]int{0, 1}, 0, 0), plain), "the same")
	require.False(t, d.addsOnly(plan([]int{0, 2}, 1, 0), plain), "a piece from elsewhere")
	require.False(t, d.addsOnly(plan([]int{0, 1}, 0, 1), plan([]int{0, 1}, 1, 0)), "one instead of the other")
}

// Seams in front are those that are seen there.
func TestSeamsInFront(t *testing.T) {
	for name, want := range map[string]int{"front": 1, "Left-Front": 1, "front-upper": 1, "back": 0, "sleeve": 0, "front-facing": 0, "front-lining": 0, "front-band": 0} {
		m := &split.Made{Plan: &split.Plan{Pieces: []*piece.Piece{{Name: name}}}, Seams: make([]split.PiecingSeam, 1)}
		require.Equal(t, want, seamsInFront(m), name)
	}
	lining := &split.Made{Plan: &split.Plan{Pieces: []*piece.Piece{{Name: "front", Use: piece.UseLining}}}, Seams: make([]split.PiecingSeam, 1)}
	require.Zero(t, seamsInFront(lining))
}
