package search

import "sync"

// memo remembers answers by their questions, for any number of workers. The
// zero value is empty.
type memo[K comparable, V any] struct {
	mu    sync.Mutex
	known map[K]V
}

func (m *memo[K, V]) get(question K) (answer V, ok bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	answer, ok = m.known[question]
	return answer, ok
}

// set remembers an answer, and reports whether the question is new.
func (m *memo[K, V]) set(question K, answer V) (isNew bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	_, known := m.known[question]
	m.put(question, answer)
	return !known
}

// getOrSet is the answer that is known, or else the one given, which is
// remembered.
func (m *memo[K, V]) getOrSet(question K, answer V) V {
	m.mu.Lock()
	defer m.mu.Unlock()
	if was, ok := m.known[question]; ok {
		return was
	}
	m.put(question, answer)
	return answer
}

// change puts another answer in the place of the one that is known, or of the
// zero value.
func (m *memo[K, V]) change(question K, to func(V) V) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.put(question, to(m.known[question]))
}

func (m *memo[K, V]) put(question K, answer V) {
	if m.known == nil {
		m.known = map[K]V{}
	}
	m.known[question] = answer
}
