package scraps

import (
	"strings"
	"testing"

	"eke/piece"

	"github.com/stretchr/testify/require"
)

func TestStripesInTables(t *testing.T) {
	read := func(table string) (piece.Stripe, []string, error) {
		pile, err := ReadCSV(strings.NewReader(table), "pile.csv")
		if err != nil {
			return piece.Stripe{}, nil, err
		}
		return pile[0].Stripe, pile[0].Notes, nil
	}
	for table, want := range map[string]piece.Stripe{
		"name,length_cm,width_cm,stripe_cm,first_cm\na,50,40,4,2.5":                      {RepeatMM: 40, FirstMM: 25},
		"name,length_cm,width_cm,stripe_in,first_in\na,50,40,1 1/2,0":                    {RepeatMM: 38.1},
		"name;length_cm;width_cm;stripe_cm;first_mm;stripe_runs\na;50;40;1,234;7;along":  {RepeatMM: 12.34, FirstMM: 7, Along: true},
		"name,length_cm,width_cm,stripe (cm),first (cm),stripe runs\na,50,40,4,1,Across": {RepeatMM: 40, FirstMM: 10},
		"name,length_cm,width_cm,stripe_cm,first_cm\na,50,40,,":                          {},
	} {
		got, notes, err := read(table)
		require.NoError(t, err, table)
		require.InDelta(t, want.RepeatMM, got.RepeatMM, 1e-9, table)
		require.InDelta(t, want.FirstMM, got.FirstMM, 1e-9, table)
		require.Equal(t, want.Along, got.Along, table)
		require.Empty(t, notes)
	}
	for table, want := range map[string]string{
		"name,length_cm,width_cm,stripe_cm\na,50,40,4":                           `pile.csv: row 2: its first_cm is missing; write how far it is from the top of the cloth`,
		"name,length_cm,width_cm,first_cm\na,50,40,4":                            `row 2: its stripe_cm is missing`,
		"name,length_cm,width_cm,stripe_cm,first_cm\na,50,40,wide,0":             `row 2: stripe wide: "wide" is not a number`,
		"name,length_cm,width_cm,stripe_cm,first_cm\na,50,40,0.1,0":              `row 2: stripe: a repeat of 1 mm is not between 2 mm and 2 m`,
		"name,length_cm,width_cm,stripe_cm,first_cm\na,50,40,4,-1":               `row 2: first: -10 mm is not between nothing and 20 m`,
		"name,length_cm,width_cm,stripe_cm,first_cm,stripe_runs\na,50,40,4,1,up": `row 2: stripe_runs up: it is neither across nor along`,
		"name,length_cm,width_cm,stripe_cm,stripe_in,first_cm\na,50,40,4,1,1":    `two columns give the stripe`,
		"name,length_cm,width_cm,stripe_runs\na,50,40,along":                     `row 2: its stripe_cm is missing`,
	} {
		_, _, err := read(table)
		require.ErrorContains(t, err, want, table)
	}
	_, notes, err := read("name,length_cm,width_cm,stripe,first name\na,50,40,yes,Ann")
	require.NoError(t, err)
	require.Equal(t, []string{`pile.csv: the column "stripe" is not read; name it stripe_cm, and first_cm beside it`}, notes)
}
