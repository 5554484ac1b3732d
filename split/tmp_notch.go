package split

import "eke/piece"

func seamNotchesTmp(l float64, i int) []piece.Notch {
	return []piece.Notch{{AtMM: l * 0.3, Count: 1}, {AtMM: l * 0.8, Count: 2}}
}
