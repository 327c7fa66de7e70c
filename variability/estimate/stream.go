package estimate

import (
	"hash/fnv"
	"math/rand/v2"
)

// Stream returns the random stream of one named use. The same seed and use
// give the same numbers on every machine and in every run; two uses of one
// seed are independent, so that a method which draws more, or a method that
// is new, never shifts the numbers of another.
//
// The generator is PCG with seed as its first word and the 64-bit FNV-1a hash
// of use as its second.
func Stream(seed uint64, use string) *rand.Rand {
	h := fnv.New64a()
	h.Write([]byte(use))
	return rand.New(rand.NewPCG(seed, h.Sum64()))
}
