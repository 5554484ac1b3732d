//go:build !linux

package outdir

func swap(temp, target string) error { return swapInTwo(temp, target) }
