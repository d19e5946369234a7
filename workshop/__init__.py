"""Walk a build of timber and resin through nine stages, over one project file."""
