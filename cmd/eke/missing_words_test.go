package main

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// What would do is not said to be needed.
func TestWouldDoIsNotTheLeast(t *testing.T) {
	t.Parallel()
	got := new(show).wouldDo(plan.Wanted{Cloth: []plan.Rectangle{{Fabric: "moss fleece", LengthMM: 590, WidthMM: 1340}}, Seams: 3})
	require.Contains(t, got, "would do: beside the scraps at hand it makes a plan with 3 piecing seams; a smaller one may do, though none was found in the time")
}
