// Package filter holds the kernels that clean and smooth one column of
// evenly spaced samples: a zero-phase low-pass with a way to choose its
// cut-off, smoothing by local polynomials, an outlier filter, a noise estimate
// and derivatives.
//
// A tracked point jitters by a fraction of a pixel from frame to frame. For a
// position that hardly matters; for a speed, which is a difference of
// neighbours, it is most of what one sees. The usual order of work is
//
//	h := filter.Hampel{Floor: 2}                  // single samples that jumped
//	x, _ = h.Apply(x, nil, x)
//	ra, err := filter.ResidualAnalysis(x, fs, filter.ResidualOptions{})
//	lp, err := filter.LowPass(ra.Cutoff, fs)
//	x = lp.ZeroPhase(x, x)                        // no lag
//	v := filter.Derivative(nil, x, fs)
//
// A low-pass serves to find strokes. It also flattens them: run both ways with
// cut-off fc it keeps about 1/(1+0.414(f/fc)⁴) of an oscillation at f, so fit
// shapes to raw samples. [Butterworth.Gain] tells what is lost.
//
// [SavitzkyGolay] is the other smoother. With degree 3 its pass band is that of
// a low-pass, so choose by the rest: it gives first and second derivatives in
// one step, and a jump, a gap or an end of the column touches half a window of
// samples, where the low-pass touches them all. There is no third.
//
// # Formulas
//
//	function               formula                              source
//	LowPass                ω = tan(π fc/fs)/(√2-1)^(1/4)        Winter 2009, 3.4.4.2; Robertson & Dowling 2003
//	Once                   the same without the correction      scipy.signal.butter(2, fc/(fs/2))
//	Butterworth.ZeroPhase  forward and backward, odd padding    scipy.signal.filtfilt
//	NoiseShare             integral of the squared gain         Parseval
//	SavitzkyGolay          Gram polynomials                     Savitzky & Golay 1964, Steinier et al. 1972, Gorry 1990
//	Hampel                 |x - median| > k 1.4826 MAD          Davies & Gather 1993, 782; Pearson 2002
//	ResidualAnalysis       line through the residuals           Winter 2009, 3.4.4.3
//	NoiseLevel             differences of neighbours            Gasser et al. 1986; Hall, Kay & Titterington 1990
//	Derivative             central difference, second-order ends  -
//	Gradient               the same on uneven times             numpy.gradient(edge_order=2)
//
// # Missing samples
//
// The kernels are for stretches without gaps: cut a column at its NaNs first.
// Nothing panics on a NaN, and what comes out is defined. A linear kernel
// spreads it: [Butterworth.ZeroPhase] makes the whole result NaN, [State] all
// later samples, [SavitzkyGolay.Apply] half a window to each side and at an end
// the half window there, the derivatives those that touch it. [Hampel] leaves every
// sample alone whose window holds a NaN. [NoiseLevel] is NaN, and
// [ResidualAnalysis] returns an error.
//
// # Accuracy
//
// What scipy and numpy have too comes out as theirs to 12 digits
// (testdata/reference/filter.py); the cut-off of both passes is where it was asked for
// to 9 (go test ./trajectory/filter -run 'TestGain|Reference').
//
// # Destination slices
//
// A function with a dst writes its result there and returns it. A nil dst
// allocates. Otherwise dst must have the length of x, and it may be x itself;
// it must not overlap x in another way. With a dst nothing is allocated, except
// for windows of more than 63 samples.
//
// # Size
//
// The package is a little over 1,200 lines, half of them comments: a kernel is a file,
// and nothing but the treatment of dst is shared.
//
// # References
//
// Davies, L. & Gather, U. (1993). The identification of multiple outliers.
// J. Am. Stat. Assoc. 88, 782-792.
//
// Gasser, T., Sroka, L. & Jennen-Steinmetz, C. (1986). Residual variance and
// residual pattern in nonlinear regression. Biometrika 73, 625-633.
//
// Gorry, P. A. (1990). General least-squares smoothing and differentiation by
// the convolution (Savitzky-Golay) method. Anal. Chem. 62, 570-573.
//
// Hall, P., Kay, J. W. & Titterington, D. M. (1990). Asymptotically optimal
// difference-based estimation of variance in nonparametric regression.
// Biometrika 77, 521-528.
//
// Pearson, R. K. (2002). Outliers in process modeling and identification.
// IEEE Trans. Control Syst. Technol. 10, 55-63.
//
// Robertson, D. G. E. & Dowling, J. J. (2003). Design and responses of
// Butterworth and critically damped digital filters. J. Electromyogr.
// Kinesiol. 13, 569-573.
//
// Savitzky, A. & Golay, M. J. E. (1964). Smoothing and differentiation of data
// by simplified least squares procedures. Anal. Chem. 36, 1627-1639.
//
// Steinier, J., Termonia, Y. & Deltour, J. (1972). Comments on smoothing and
// differentiation of data by simplified least square procedure. Anal. Chem. 44,
// 1906-1909.
//
// Winter, D. A. (2009). Biomechanics and Motor Control of Human Movement,
// 4th ed. Wiley.
package filter
