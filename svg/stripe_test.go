package svg

import (
	"fmt"
	"strings"
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestStripesOfADrawnScrap(t *testing.T) {
	read := func(facts string) ([]piece.Scrap, error) {
		return ReadScraps(strings.NewReader(fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" viewBox="0 0 500 500">
			<g id="a" %s><path class="outline" d="M 0,0 H 400 V 300 H 0 Z"/></g></svg>`, facts)), "pile.svg")
	}
	inDesc := func(lines string) ([]piece.Scrap, error) {
		pile, err := ReadScraps(strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" viewBox="0 0 500 500">
			<g id="a"><desc>`+lines+`</desc><path class="outline" d="M 0,0 H 400 V 300 H 0 Z"/></g></svg>`), "pile.svg")
		return pile, err
	}
	for _, given := range []func() ([]piece.Scrap, error){
		func() ([]piece.Scrap, error) { return read(`data-stripe_cm="4" data-first_mm="25"`) },
		func() ([]piece.Scrap, error) { return inDesc("stripe_cm: 4\nfirst_cm: 2,5\nstripe_runs: across") },
	} {
		pile, err := given()
		require.NoError(t, err)
		require.Equal(t, piece.Stripe{RepeatMM: 40, FirstMM: 25}, pile[0].Stripe)
		for _, n := range pile[0].Notes {
			require.NotContains(t, n, "stripe")
		}
	}
	pile, err := inDesc("stripe_in: 1\nfirst_in: 1/2\nstripe_runs: along")
	require.NoError(t, err)
	require.Equal(t, piece.Stripe{RepeatMM: 25.4, FirstMM: 12.7, Along: true}, pile[0].Stripe)
	for facts, want := range map[string]string{
		`data-stripe_cm="4"`:                                        `stripe_cm: 4: its first_cm is missing`,
		`data-stripe_cm="four" data-first_cm="1"`:                   `stripe_cm: four: "four" is not a number`,
		`data-stripe_cm="4" data-stripe_mm="4"`:                     `it is given in two units`,
		`data-stripe_cm="4" data-first_cm="1" data-stripe_runs="x"`: `neither across nor along`,
		`data-stripe_runs="along"`:                                  `its stripe_cm is missing`,
	} {
		_, err := read(facts)
		require.ErrorContains(t, err, want)
	}
	pile, err = inDesc("stripe: 4 cm")
	require.NoError(t, err)
	require.Contains(t, strings.Join(pile[0].Notes, "\n"), "stripe")
}
