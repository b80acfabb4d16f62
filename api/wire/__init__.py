"""HTTP plumbing that every slice's routes share: reading input, answering, paging, the contract."""
