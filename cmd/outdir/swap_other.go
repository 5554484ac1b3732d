//go:build !linux

package outdir

func swap(temp, target string) (old string, err error) { return swapInTwo(temp, target) }
