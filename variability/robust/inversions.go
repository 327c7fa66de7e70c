package robust

// merge sorts buf by key, equal keys in the order they have, and returns the
// number of inversions it had. Inversions are numbered in the order in which
// the sort meets them: the slopes of those numbered in wanted (ascending,
// repeats allowed), or of every one if all, are appended to sample.
func (s *slopes) merge(wanted []int64, all bool) int64 {
	n := len(s.buf)
	var count int64
	from, to := s.buf, s.swap
	for width := 1; width < n; width *= 2 {
		for at := 0; at < n; at += 2 * width {
			mid, end := min(at+width, n), min(at+2*width, n)
			left, right := from[at:mid], from[mid:end]
			if len(right) == 0 || left[len(left)-1].key <= right[0].key {
				copy(to[at:end], from[at:end])
				continue
			}
			i, j := 0, 0
			for k := at; k < end; k++ {
				if j == len(right) || i < len(left) && left[i].key <= right[j].key {
					to[k] = left[i]
					i++
					continue
				}
				to[k] = right[j]
				rest := left[i:]
				if all {
					for _, p := range rest {
						s.sample = append(s.sample, s.slope(p.at, right[j].at))
					}
				}
				next := count + int64(len(rest))
				for len(wanted) > 0 && wanted[0] < next {
					s.sample = append(s.sample, s.slope(rest[wanted[0]-count].at, right[j].at))
					wanted = wanted[1:]
				}
				count = next
				j++
			}
		}
		from, to = to, from
	}
	s.buf, s.swap = from, to
	return count
}
