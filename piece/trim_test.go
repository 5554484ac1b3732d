package piece

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestTrimWord(t *testing.T) {
	for name, want := range map[string]string{
		"front": "", "bandana": "", "standard back": "", "yoke": "", "laptab": "", "": "",
		"stand": "stand", "collar-stand": "collar", "Waistband 2": "waistband", "cuffs": "cuff", "undercollar": "undercollar",
		"front_facing": "facing", "tie": "tie", "pocket-bag": "pocket", "bias": "bias", "bias strip": "bias", "Appliqué": "appliqué",
		"hem-rib": "band", "Ribbing": "band", "rib front": "", "tribal": "",
		"front-rib": "", "Back ribbing": "", "body-rib": "", "neck-rib": "band", "cuff-rib": "cuff", "back-neck-rib": "band", "sleeve hem rib": "band", "sleeve-rib": "band", "leg-ribbing": "band", "rib sleeve": "", // common practice, no source
	} {
		require.Equal(t, want, TrimWord(name), name)
	}
}
