"""The HTTP service around libdamp: it turns a request into a calculation and the answer into bytes, no more."""
