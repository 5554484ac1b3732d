package main

import (
	"testing"

	"eke/split/wish"

	"github.com/stretchr/testify/require"
)

// Wishes of an older plan that hold on are named where nothing is found; those that are
// points stand in no way.
func TestHeldOnNote(t *testing.T) {
	t.Parallel()
	held := []wish.Wish{wish.Alike{Piece: "front"}, wish.Prefer{Wish: wish.Alike{Piece: "sleeve"}}, wish.Like{Piece: "back", Other: "front"}}
	require.Equal(t, `wishes of the plan that you go on from hold on, and may stand in the way: "front alike", "back like front"; to make points of one, give it again as in --wish "prefer front alike"`, heldOnNote(held))
	require.Empty(t, heldOnNote(held[1:2]))
	require.Empty(t, heldOnNote(nil))
}

// What no plan can keep beside a wish that holds on is refused before any search.
func TestAgainstHeld(t *testing.T) {
	t.Parallel()
	none := func(string) bool { return false }
	block, alike := wish.Block{Piece: "sleeve", Upper: "navy", Lower: "cream"}, wish.Alike{Piece: "sleeve"}
	held := []wish.Wish{block, wish.Alike{Piece: "front"}, alike}
	require.EqualError(t, againstHeld(held, 1, none), `--after: the wishes "sleeve alike" and "sleeve upper navy, lower cream" cannot both be kept: sleeve is to have one look by the first, and two by the other; leave one out, or write prefer before it; "sleeve alike", a wish of the plan that you go on from, holds on: to make points of it, give it again as in --wish "prefer sleeve alike"`)
	require.NoError(t, againstHeld(held[:2], 1, none))
	require.NoError(t, againstHeld([]wish.Wish{block, wish.Prefer{Wish: alike}}, 1, none))
	require.NoError(t, againstHeld(held, 1, func(string) bool { return true }))
}
