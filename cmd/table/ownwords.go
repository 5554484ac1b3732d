package table

import (
	"fmt"
	"regexp"
	"time"
)

// ownWord is how the page says what a note of the command line says with a flag.
type ownWord struct {
	flag *regexp.Regexp
	says func(found []string) string
}

var ownWordsOf = []ownWord{
	{regexp.MustCompile(`such as --time (\w+)`), func(f []string) string {
		d, err := time.ParseDuration(f[1])
		if err != nil {
			return f[0]
		}
		return fmt.Sprintf("such as %.0f seconds", d.Seconds())
	}},
	{regexp.MustCompile(`more --time`), func([]string) string { return "more time" }},
	{regexp.MustCompile(`give --max-seams (\d+)`), func(f []string) string { return "ask for " + f[1] + " under Most added seams" }},
	{regexp.MustCompile(`more seams than --max-seams (\d+)`), func(f []string) string { return "more than " + f[1] + " under Most added seams" }},
	{regexp.MustCompile(`give --wish (?:"|&#34;)(.+?)(?:"|&#34;)`), func(f []string) string { return "wish for “" + f[1] + "”" }},
	{regexp.MustCompile(`^--wish: `), func([]string) string { return "" }},
	{regexp.MustCompile(`give --lining to plan the lining from it`), func([]string) string { return "the lining is planned on the command line" }},
}

// ownWords is a note as the page says it: where the command line names a flag, the
// page names its own field.
func ownWords(note string) string {
	for _, w := range ownWordsOf {
		note = w.flag.ReplaceAllStringFunc(note, func(s string) string { return w.says(w.flag.FindStringSubmatch(s)) })
	}
	return note
}
