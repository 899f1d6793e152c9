"""Writing: plan.json, cut files, guide, preview. Places nothing: every number comes from the plan or the sheets."""
