package plan

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Where several wishes stand in the way together, all of them are to be given up.
func TestWithoutUnkept(t *testing.T) {
	one, two := []Unkept{{Text: "front alike"}}, []Unkept{{Text: "front alike"}, {Text: "back alike"}}
	for _, c := range []struct {
		unkept               []Unkept
		after, without, cure string
	}{
		{one, "", "it", "ask for it without the wish"},
		{two, "", "all of these", "ask for it without these wishes"},
		{one, "out/option-1", "it", `give --wish "prefer front alike", and it is no must`},
		{two, "out/option-1", "all of these", `give --wish "prefer front alike" --wish "prefer back alike", and they are no musts`},
	} {
		without, cure := (&Document{After: c.after, Unkept: c.unkept}).WithoutUnkept()
		require.Equal(t, c.without, without)
		require.Equal(t, c.cure, cure)
	}
}
