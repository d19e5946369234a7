"""How a project's slabs are sawn and how the pieces lie in its castings."""
