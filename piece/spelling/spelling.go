// Package spelling finds the word that a misspelt one was meant to be.
package spelling

// Nearest is the known word with the fewest slips between it and s, the first
// of several; empty where s is known, or nothing is near. One slip is allowed,
// and two in words of six letters or more; words of less than four letters are
// too short to tell.
func Nearest(s string, known []string) string {
	best, least := "", 3
	for _, k := range known {
		if k == s {
			return ""
		}
		n := slips(s, k)
		if len(s) >= 4 && n < least && (n <= 1 || len(s) >= 6 && len(k) >= 6) {
			best, least = k, n
		}
	}
	return best
}

// slips is the edit distance between two words, where a letter left out, put
// in or changed, or two neighbours exchanged, is one slip, and nothing is
// changed twice (optimal string alignment; F. J. Damerau, "A technique for
// computer detection and correction of spelling errors", 1964).
func slips(a, b string) int {
	var before, last []int
	for i := 0; i <= len(a); i++ {
		row := make([]int, len(b)+1)
		for j := range row {
			switch {
			case i == 0:
				row[j] = j
			case j == 0:
				row[j] = i
			default:
				change := 1
				if a[i-1] == b[j-1] {
					change = 0
				}
				row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
				if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
					row[j] = min(row[j], before[j-2]+1)
				}
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}
