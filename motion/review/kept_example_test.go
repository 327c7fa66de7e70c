package review_test

import (
	"fmt"

	"github.com/plectrace/plectrace/motion/review"
	"github.com/plectrace/plectrace/trajectory"
)

// Takes are compared only where they were measured alike, which their digests tell.
func ExampleOptions_Digest() {
	usual, strict := review.Options{}, review.Options{Clean: trajectory.CleanOptions{MinConfidence: 0.9}}
	fmt.Println(usual.Digest() == review.Options{Seed: 0}.Digest(), usual.Digest() == strict.Digest())
	// Output:
	// true false
}

func ExampleLoss_Share() {
	l := review.Loss{Samples: 4800, Missing: 110, Cut: 34}
	fmt.Printf("%.1f %% of the samples are lost\n", 100*l.Share())
	// Output:
	// 3.0 % of the samples are lost
}

// Results carry the version that made them: of a module that requires this one, that in
// its go.mod.
func ExampleVersion() {
	fmt.Println(review.Version() != "")
	// Output:
	// true
}
