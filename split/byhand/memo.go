package byhand

import "sync"

// memo remembers answers by their questions, the later ones only: when it is full
// it forgets those that nobody has asked for lately.
type memo[K comparable, V any] struct {
	mu          sync.Mutex
	now, before map[K]V
}

// mostKnown is how many answers a memo holds in each of its two halves.
const mostKnown = 1 << 14

func (m *memo[K, V]) get(question K) (answer V, ok bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if answer, ok = m.now[question]; ok {
		return answer, true
	}
	if answer, ok = m.before[question]; ok {
		m.put(question, answer)
	}
	return answer, ok
}

func (m *memo[K, V]) set(question K, answer V) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.put(question, answer)
}

func (m *memo[K, V]) put(question K, answer V) {
	if m.now == nil || len(m.now) >= mostKnown {
		m.now, m.before = map[K]V{}, m.now
	}
	m.now[question] = answer
}
