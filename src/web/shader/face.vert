// A flat face of a tool or the end of a wire.
layout(location = 0) in vec4 place;
layout(location = 1) in vec3 facing;
uniform vec3 reach;
out vec3 normal;
out vec3 shadow;
out vec3 other;
flat out int material;

void main() {
  normal = facing;
  shadow = vec3(0);
  other = vec3(0);
  material = int(place.w);
  gl_Position = vec4(place.xyz * reach, 1);
}
