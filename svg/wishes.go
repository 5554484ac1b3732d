package svg

import "io"

// Wishes are the lines that the description of a pattern's root gives as
// `wish: …`, in their order. What they mean is not looked at. An error is a
// *piece.Error.
func Wishes(r io.Reader, file string) ([]string, error) {
	root, err := parse(r, file)
	if err != nil {
		return nil, err
	}
	_, top, err := open(root, file)
	if err != nil {
		return nil, err
	}
	var out []string
	for _, line := range top.description() {
		if line.key == "wish" {
			out = append(out, line.value)
		}
	}
	return out, nil
}
