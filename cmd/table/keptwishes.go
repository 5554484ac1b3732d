package table

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"eke/cmd/job"
)

// wishesFile keeps the wishes in the table's folder, those of each pattern by
// themselves. It is plain text, and may be written by hand.
const (
	wishesFile  = "wishes.txt"
	wishesTitle = "# Wishes told on the cutting table"
	wishesOf    = "pattern: "
)

func isWishes(was string) bool { return strings.HasPrefix(was, wishesTitle) }

// keptWishes are the wishes of each pattern that were told before.
func (b *bench) keptWishes() map[string][]string {
	out := map[string][]string{}
	data, err := b.root.ReadFile(wishesFile)
	if err != nil || len(data) > 1<<20 || !isWishes(string(data)) {
		return out
	}
	pattern := ""
	for _, line := range strings.Split(string(data), "\n")[1:] {
		line = strings.TrimSpace(line)
		if name, is := strings.CutPrefix(line, wishesOf); is {
			if pattern = name; strings.HasPrefix(name, `"`) {
				pattern, _ = strconv.Unquote(name)
			}
		} else if line != "" && pattern != "" && !slices.Contains(out[pattern], line) {
			out[pattern] = append(out[pattern], line)
		}
	}
	return out
}

// keepWishes writes down the wishes. The lock is held.
func (b *bench) keepWishes() error {
	all := b.keptWishes()
	if all[b.pattern] = b.wishes; len(b.wishes) == 0 {
		delete(all, b.pattern)
	}
	err := job.WriteOver(b.path(wishesFile), isWishes, "was not written by the cutting table", func(w io.Writer) error {
		var text strings.Builder
		text.WriteString(wishesTitle + "\n")
		for _, name := range slices.Sorted(maps.Keys(all)) {
			fmt.Fprintf(&text, "\n%s%q\n", wishesOf, name)
			for _, line := range all[name] {
				text.WriteString(strings.Join(strings.Fields(line), " ") + "\n")
			}
		}
		_, err := io.WriteString(w, text.String())
		return err
	})
	if err != nil {
		return fmt.Errorf("it is so until the table is put away, and not kept: %w", err)
	}
	return nil
}
