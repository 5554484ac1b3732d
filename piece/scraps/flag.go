package scraps

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"eke/piece"
)

// FlagFile stands for the file of a scrap that a flag describes.
const FlagFile = "--scrap"

var flagBy = regexp.MustCompile(`(?i)\s*(?:×|\bby\b|x)\s*`)

// ParseFlag reads a scrap from the command line, `left over, navy rib: 42 x 60
// cm`: its name and fabric, then width across the grain by length along it. A
// unit after the second figure is for both. Where no fabric is given, the name
// says it, but for a number at its end. The error is a *piece.Error.
func ParseFlag(s string) (piece.Scrap, error) {
	refuse := func(name, problem string) (piece.Scrap, error) {
		return piece.Scrap{}, &piece.Error{File: FlagFile, Piece: name, Problem: problem, Cure: `write it as in "navy rib: 42 x 60 cm" or "sleeve, navy rib: 42 x 60 cm"`}
	}
	i := strings.LastIndexByte(s, ':')
	if i < 0 {
		return refuse("", fmt.Sprintf("%q has no name and colon before its size", short(s)))
	}
	name := clean(s[:i])
	name, fabric, given := strings.Cut(name, ",")
	name, fabric = clean(name), clean(fabric)
	if given && fabric == "" {
		return refuse(short(name), "there is no fabric after the comma")
	}
	if name == "" {
		return refuse("", fmt.Sprintf("%q has no name before its colon", short(s)))
	}
	if len([]rune(name)) > maxName || len([]rune(fabric)) > maxName {
		return refuse(short(name), fmt.Sprintf("a name is longer than %d letters", maxName))
	}
	sides := flagBy.Split(strings.TrimSpace(s[i+1:]), -1)
	if len(sides) != 2 {
		return refuse(name, fmt.Sprintf("%q is not a width by a length", short(s[i+1:])))
	}
	for k, what := range []string{"width", "length"} {
		if strings.TrimSpace(sides[k]) == "" {
			return refuse(name, "its "+what+" is missing")
		}
	}
	if _, unit, err := splitLength(sides[0]); err == nil && unit == "" {
		if _, unit, err := splitLength(sides[1]); err == nil {
			sides[0] += unit
		}
	}
	var mm [2]float64
	for k, what := range []string{"width", "length"} {
		var err error
		if mm[k], err = ParseLength(sides[k]); err == nil {
			err = errors.Join(size(mm[k]))
		}
		if err != nil {
			return refuse(name, fmt.Sprintf("%s %s: %v", what, short(sides[k]), err))
		}
	}
	scrap := rectangle(mm[0], mm[1])
	scrap.Name, scrap.File = name, FlagFile
	if scrap.Fabric = fabric; !given {
		scrap.Fabric = piece.FabricOfName(name)
	}
	return scrap, nil
}
