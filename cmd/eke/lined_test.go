package main

import (
	"testing"

	"eke/split/plan"

	"github.com/stretchr/testify/require"
)

// A lining goes in last, or before the waistband that takes it in.
func TestWhereALiningGoesIn(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		order []string
		at    int
	}{
		"last":               {[]string{"Go on.", "Sew the side seams: a to b.", "Turn up the hems."}, 3},
		"before a waistband": {[]string{"Go on.", "Sew the ends of waistband together: a to a.", "Sew waistband on: a to b.", "Turn up the hems."}, 2},
	} {
		d := &plan.Document{Options: []plan.Option{{SewingOrder: c.order}}}
		tellLining(d, "lining/plan.json", true)
		require.Len(t, d.Options[0].SewingOrder, len(c.order)+1, name)
		require.Equal(t, liningStep("lining/plan.json"), d.Options[0].SewingOrder[c.at], name)
	}
}
