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
