// Package soak has no code of its own, but a test that runs as long as it is
// asked to: it draws garments, scraps and flags at random, searches for plans,
// and proves every plan it gets. What fails is made as simple as it can be
// while it still fails, and shown as a setting to keep in kept_test.go.
//
//	go test ./split/soak -run Soak -soak 10m
//	go test -tags geos ./split/soak -run Soak -soak 10m
//
// TestChains cuts garments one after the other, each from what the one before
// has left:
//
//	go test ./split/soak -run Chains -chains 200 -from 1000
//
// With the tag geos each plan is judged a second time, by GEOS.
package soak
